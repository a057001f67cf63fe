import { displayCode } from '@/lib/judgement/dueWords'
import { hasToAct, maySettle } from '@/lib/judgement/hasToAct'
import { andRecord, nextStep, openingWords } from '@/lib/judgement/nextStep'
import { recordPath } from '@/lib/judgement/settlingPath'
import { capitalised } from '@/lib/schedule/firstLetter'
import { began } from '@/lib/schedule/milestoneWords'
import type { SampleRow } from '@/lib/store/projection/sampleRow'
import type { DigestItem, Part, WordsBasis } from './item'

import { percent } from './percent'

/** The next step of a sample, with why it is told of. */
export function nextItem(item: DigestItem, basis: WordsBasis): Part {
  const sample = item.sample as SampleRow
  const { stage, stageAt } = sample
  const kit = kitOf(item, basis)
  const step = nextStep(stage, sample.binding?.limit.to ?? null)
  const at =
    basis.zones.get('code' in item.actor ? item.actor.code : sample.laboratory) ?? sample.laboratoryZone
  const since =
    stage !== null && stageAt !== null ? `${began(stage)} on ${basis.words.day(stageAt, at)}` : null
  return {
    act: capitalised(step ? step.act(kit) + andRecord(step) : `look at ${kit}`),
    why: item.told.kind === 'at risk' ? riskOf(sample, basis.reader) : since,
    when: null,
    path: recordPath(sample.code, maySettle(item.actor, basis.reader) ? (step?.record ?? null) : null),
    asksToCut: step?.record === 'collected',
  }
}

function riskOf({ forecast, laboratory }: SampleRow, reader: WordsBasis['reader']): string {
  const isDesk = hasToAct({ by: 'laboratory', code: laboratory }, reader)
  const chance = forecast && `${percent(forecast.risk)} likely to miss its hold limit`
  const opening = forecast?.needsOpening ? `; ${openingWords(isDesk)}` : ''
  return (chance ?? 'at risk of missing its hold limit') + opening
}

export type Milestone = SampleRow['asksFor'][number]

/** A time that is missing. */
export function missingItem(item: DigestItem, milestone: Milestone, basis: WordsBasis): Part {
  const { code } = item.sample as SampleRow
  return {
    act: `Record when ${began(milestone, kitOf(item, basis))}`,
    why: 'a later step is recorded, and its hold limit cannot be judged without it',
    when: null,
    path: recordPath(code, maySettle(item.actor, basis.reader) ? milestone : null),
    asksToCut: false,
  }
}

function kitOf(item: DigestItem, basis: WordsBasis): string {
  const sample = item.sample as SampleRow
  return `${displayCode(sample.code)} (${[productOf(sample), ...plantOf(item, basis)].join('; ')})`
}

/** The name of a sample's product. */
export function productOf({ productName: name, product }: SampleRow): string {
  return name ?? product ?? 'a product not named yet'
}

/** A plant's name, where it has to be said. */
export function plantOf({ plant }: DigestItem, { names, namesPlant }: WordsBasis): string[] {
  return namesPlant ? [names.places.get(plant) ?? plant] : []
}
