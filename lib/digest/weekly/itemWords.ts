import { actWords, displayCode, overdueWords, productName } from '@/lib/judgement/dueWords'
import { hasToAct, maySettle } from '@/lib/judgement/hasToAct'
import { andRecord, nextStep, openingWords } from '@/lib/judgement/nextStep'
import { duePath, recordPath, settlingPath } from '@/lib/judgement/settlingPath'
import { ACTS } from '@/lib/schedule/act'
import { capitalised } from '@/lib/schedule/firstLetter'
import { AWAITED, began } from '@/lib/schedule/milestoneWords'
import { asksToCut, OVERDUE, type Overdue } from '@/lib/schedule/overdueKinds'
import { failedWords } from '@/lib/schedule/progress'
import { lastCutWords } from '@/lib/schedule/workBack'
import type { SampleRow } from '@/lib/store/projection/sampleRow'
import type { ComingConsignment } from '@/lib/store/read/arrivals/arrivals'
import type { DateWords } from './dateWords'
import type { DigestItem, ItemWords, Part, Told, WordsBasis } from './item'
import { listed, percent } from './sentence'

/** Puts an item into words. */
export function itemWords(item: DigestItem, basis: WordsBasis): ItemWords {
  const { told } = item
  const stake = stakeOf(item, basis.words)
  switch (told.kind) {
    case 'overdue':
      return { ...overdueItem(item, told, basis), stake }
    case 'due':
      return { ...dueItem(item, told, basis), stake }
    case 'expected':
      return expectedItem(told.coming, basis.words)
    case 'at risk':
    case 'soon lost':
    case 'next step':
      return { ...nextItem(item, basis), stake }
    case 'not recorded':
      return { ...missingItem(item, told.milestone, basis), stake }
  }
}

type Of<Kind extends Told['kind']> = Extract<Told, { kind: Kind }>

function overdueItem(item: DigestItem, { overdue }: Of<'overdue'>, basis: WordsBasis): Part {
  const { names, words, reader } = basis
  const { sample } = item
  const product =
    overdue.sample === null || overdue.product === null ? [] : [productName(overdue.product, names)]
  const more = [...product, ...plantOf(item, basis)]
  const facts = { overdue, sample, words }
  return {
    act: overdueWords(overdue, names, more).act + OVERDUE[overdue.kind].andThen,
    why: knownOf(facts),
    when: sinceOf(facts),
    path: settlingPath(overdue, reader),
    asksToCut: asksToCut(overdue.kind),
  }
}

function dueItem(item: DigestItem, { line }: Of<'due'>, basis: WordsBasis): Part {
  const { names, words } = basis
  const { owed, acts, dueAt, zone } = line
  const product = owed.kit === null ? [] : [productName(owed.product, names)]
  return {
    act: actWords(acts, owed, names, [...product, ...plantOf(item, basis)]),
    why: owed.kit === null ? 'its kit is not issued yet' : null,
    when: `due ${words.day(dueAt, zone)}`,
    path: duePath(line, basis.reader),
    asksToCut: acts.includes('cut'),
  }
}

function stakeOf({ loss, sample }: DigestItem, words: DateWords): string | null {
  if (loss === null) return null
  const kit = displayCode(sample?.code ?? '')
  if (loss.of === 'report') {
    const by = `The report on it still has to be out by ${words.day(loss.at, loss.zone)}.`
    return loss.lastCut ? `${by} ${lastCutWords(loss.lastCut, 'It', kit, words.localDay)}` : by
  }
  const to = sample?.binding?.limit.to ?? 'loaded'
  return `${kit} has to be ${AWAITED[to]} by ${words.ownDeadline(loss.at)}, or it proves nothing.`
}

interface Facts {
  overdue: Overdue
  sample: SampleRow | null
  words: DateWords
}

/** What is known of it with its days, as the rest of a sentence: "it was cut on Tue 24 November"; null where nothing is. */
function knownOf({ overdue, sample, words }: Facts): string | null {
  const { kind, reason, sinceAt, zone } = overdue
  const { known, why } = OVERDUE[kind]
  if (known === null || 'text' in known) return known?.text ?? null
  const { day, saidBy } = known
  if (day === 'since') return `${why ?? failedWords(reason)} on ${words.day(sinceAt, zone)}`
  if (day === 'issue') return sample && `issued on ${words.bareDay(sample.issuedAt, zone)}`
  const [found] = day.flatMap(
    (milestone) => sample?.milestones.filter((one) => one.milestone === milestone) ?? [],
  )
  if (!found) return null
  const said = `${began(found.milestone)} on ${words.bareDay(found.at, zone)}`
  return saidBy === undefined ? said : `${saidBy} ${said}`
}

/** Since when, where what is known does not say it; null where it does. */
function sinceOf({ overdue: { kind, sinceAt, zone }, words }: Facts): string | null {
  const { since } = OVERDUE[kind]
  return since && `${since} ${words.day(sinceAt, zone)}`
}

/** What is on its way to a laboratory. */
function expectedItem({ samples, plant, p50, lateSinceDay }: ComingConsignment, words: DateWords): ItemWords {
  const codes = samples.map(({ code }) => displayCode(code))
  const [first] = samples as [SampleRow]
  const isOne = samples.length === 1
  const isDelivered = samples.every(({ stage }) => stage === 'delivered')
  const what = isOne ? `${codes[0]} (${productOf(first)})` : `${codes.length} samples`
  const dues = samples.flatMap(({ binding }) => binding?.dueAt ?? [])
  const dueAt = Math.min(...dues)
  const facts = [
    ...(isOne ? [] : [listed(codes, 4)]),
    ...(isDelivered ? [`the carrier says ${began('delivered')}`] : []),
    ...(lateSinceDay === null ? [] : ['later than 95 of 100 like it']),
  ]
  const likely = p50 === null ? null : `likely by ${words.localDay(p50, first.laboratoryZone)}`
  return {
    act: `${isDelivered ? capitalised(ACTS.receive.asks(what)) : `Expect ${what}`} from ${plant.name}`,
    why: facts.length > 0 ? facts.join('; ') : null,
    when: isDelivered || lateSinceDay !== null ? null : likely,
    stake:
      dues.length === 0 ? null : `${isOne ? 'Its' : 'The first'} hold limit is ${words.ownDeadline(dueAt)}.`,
    path: isOne ? recordPath(first.code, isDelivered ? 'received' : null) : '/receiving',
    asksToCut: false,
  }
}

/** The next step of a sample, with why it is told of. */
function nextItem(item: DigestItem, basis: WordsBasis): Part {
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

type Milestone = SampleRow['asksFor'][number]

/** A time that is missing. */
function missingItem(item: DigestItem, milestone: Milestone, basis: WordsBasis): Part {
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
function productOf({ productName: name, product }: SampleRow): string {
  return name ?? product ?? 'a product not named yet'
}

/** A plant's name, where it has to be said. */
function plantOf({ plant }: DigestItem, { names, namesPlant }: WordsBasis): string[] {
  return namesPlant ? [names.places.get(plant) ?? plant] : []
}
