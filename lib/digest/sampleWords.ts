import { displayCode } from '@/lib/schedule/dueWords'
import type { SampleRow } from '@/lib/store/sampleRow'
import type { DigestItem } from './item'
import type { Part, WordsBasis } from './itemWords'
import { percent } from './percent'

/** The next step of a sample, with why it is told of. */
export function nextItem(item: DigestItem, basis: WordsBasis): Part {
  const sample = item.sample as SampleRow
  const { stage, stageAt } = sample
  const [act, record] = NEXT[stage ?? 'collected'](kitOf(item, basis))
  const at =
    basis.zones.get('code' in item.actor ? item.actor.code : sample.laboratory) ?? sample.laboratoryZone
  const since =
    stage !== null && stageAt !== null ? `${HAPPENED[stage]} on ${basis.words.day(stageAt, at)}` : null
  return {
    act,
    why: item.told.kind === 'at risk' ? riskOf(sample) : since,
    when: null,
    path: `/samples/${sample.code}${record === null ? '' : `?record=${record}#record`}`,
    asksToCut: stage === 'produced',
  }
}

function riskOf({ forecast }: SampleRow): string {
  const chance = forecast && `${percent(forecast.risk)} likely to miss its hold limit`
  const opening = forecast?.needsOpening
    ? '; only an opening out of hours could save it: ask the laboratory'
    : ''
  return (chance ?? 'at risk of missing its hold limit') + opening
}

export type Milestone = SampleRow['asksFor'][number]

/** The next step of a sample that is at risk, and what is recorded of it. */
const NEXT: Record<Milestone, (kit: string) => [act: string, record: Milestone | null]> = {
  produced: (kit) => [`Cut ${kit} and record it`, 'collected'],
  collected: (kit) => [`Hand ${kit} to the carrier and record it`, 'dispatched'],
  sealed: (kit) => [`Hand ${kit} to the carrier and record it`, 'dispatched'],
  dispatched: (kit) => [`Load ${kit} as soon as it arrives`, null],
  delivered: (kit) => [`Log the receipt of ${kit}`, 'received'],
  received: (kit) => [`Load ${kit} and record it`, 'loaded'],
  conditioned: (kit) => [`Load ${kit} and record it`, 'loaded'],
  loaded: (kit) => [`Look at ${kit}`, null],
  reported: (kit) => [`Look at ${kit}`, null],
}

/** A time that is missing. */
export function missingItem(item: DigestItem, milestone: Milestone, basis: WordsBasis): Part {
  const { code } = item.sample as SampleRow
  return {
    act: `Record when ${kitOf(item, basis)} was ${HAPPENED[milestone]}`,
    why: 'a later step is recorded, and its hold limit cannot be judged without it',
    when: null,
    path: `/samples/${code}?record=${milestone}#record`,
    asksToCut: false,
  }
}

export const HAPPENED: Record<Milestone, string> = {
  produced: 'made',
  collected: 'cut',
  sealed: 'sealed',
  dispatched: 'handed over',
  delivered: 'delivered',
  received: 'received',
  conditioned: 'put into conditioning',
  loaded: 'loaded',
  reported: 'reported',
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
