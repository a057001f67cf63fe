import { describeActs, describeOverdue, formatKitCode, getProductName } from '@/lib/judgement/dueText'
import { andRecord, describeOpening, findNextStep } from '@/lib/judgement/nextStep'
import { duePath, recordPath, resolutionPath } from '@/lib/judgement/resolutionPath'
import { isResponsible, mayResolve } from '@/lib/judgement/responsibility'
import type { Translate } from '@/lib/messages/translate'
import { ACTS } from '@/lib/schedule/act'
import { capitalised } from '@/lib/schedule/firstLetter'
import { AWAITED_LABELS, formatMilestone } from '@/lib/schedule/milestoneText'
import { asksToCut, OVERDUE, type Overdue } from '@/lib/schedule/overdueKinds'
import { formatFailure } from '@/lib/schedule/progress'
import { formatLastCut } from '@/lib/schedule/workBack'
import type { SampleRow } from '@/lib/store/projection/sampleRow'
import type { ComingConsignment } from '@/lib/store/read/arrivals/arrivals'
import type { DateFormat } from './dateFormat'
import type { DigestItem, ItemFacts, ItemReason, ItemText, TextContext } from './item'
import { formatChance, listSome } from './lineText'

/** Puts an item into words. */
export function describeItem(t: Translate, item: DigestItem, basis: TextContext): ItemText {
  const { reason: told } = item
  const stake = describeStake(t, item, basis.dates)
  switch (told.kind) {
    case 'overdue':
      return { ...describeOverdueItem(t, item, told, basis), stake }
    case 'due':
      return { ...describeDueItem(t, item, told, basis), stake }
    case 'expected':
      return describeExpectedItem(t, told.coming, basis.dates)
    case 'at risk':
    case 'soon lost':
    case 'next step':
      return { ...describeNextItem(t, item, basis), stake }
    case 'not recorded':
      return { ...describeMissingItem(t, item, told.milestone, basis), stake }
  }
}

type ReasonOfKind<Kind extends ItemReason['kind']> = Extract<ItemReason, { kind: Kind }>

function describeOverdueItem(
  t: Translate,
  item: DigestItem,
  { overdue }: ReasonOfKind<'overdue'>,
  basis: TextContext,
): ItemFacts {
  const { names, dates: words, reader } = basis
  const { sample } = item
  const product =
    overdue.sample === null || overdue.product === null ? [] : [getProductName(t, overdue.product, names)]
  const more = [...product, ...listPlant(item, basis)]
  const facts = { overdue, sample, words }
  return {
    act: describeOverdue(t, overdue, names, more).act + OVERDUE[overdue.kind].andThen,
    why: describeKnown(t, facts),
    when: describeSince(facts),
    path: resolutionPath(overdue, reader),
    asksToCut: asksToCut(overdue.kind),
  }
}

function describeDueItem(
  t: Translate,
  item: DigestItem,
  { line }: ReasonOfKind<'due'>,
  basis: TextContext,
): ItemFacts {
  const { names, dates: words } = basis
  const { owed, acts, dueAt, zone } = line
  const product = owed.kit === null ? [] : [getProductName(t, owed.product, names)]
  return {
    act: describeActs(t, acts, owed, names, [...product, ...listPlant(item, basis)]),
    why: owed.kit === null ? 'its kit is not issued yet' : null,
    when: `due ${words.day(dueAt, zone)}`,
    path: duePath(line, basis.reader),
    asksToCut: acts.includes('cut'),
  }
}

function describeStake(t: Translate, { loss, sample }: DigestItem, words: DateFormat): string | null {
  if (loss === null) return null
  const kit = formatKitCode(sample?.code ?? '')
  if (loss.kind === 'report') {
    const by = `The report on it still has to be out by ${words.day(loss.at, loss.zone)}.`
    return loss.lastCut ? `${by} ${formatLastCut(t, loss.lastCut, kit, words.localDay)}` : by
  }
  const to = sample?.binding?.limit.to ?? 'loaded'
  return `${kit} has to be ${t(AWAITED_LABELS[to])} by ${words.deadline(loss.at)}, or it proves nothing.`
}

interface Facts {
  overdue: Overdue
  sample: SampleRow | null
  words: DateFormat
}

/** What is known of it with its days, as the rest of a sentence: "it was cut on Tue 24 November"; null where nothing is. */
function describeKnown(t: Translate, { overdue, sample, words }: Facts): string | null {
  const { kind, reason, sinceAt, zone } = overdue
  const { known, why } = OVERDUE[kind]
  if (known === null || 'text' in known) return known?.text ?? null
  const { day, saidBy } = known
  if (day === 'since') return `${why ?? formatFailure(t, reason)} on ${words.day(sinceAt, zone)}`
  if (day === 'issue') return sample && `issued on ${words.bareDay(sample.issuedAt, zone)}`
  const [found] = day.flatMap(
    (milestone) => sample?.milestones.filter((one) => one.milestone === milestone) ?? [],
  )
  if (!found) return null
  const said = `${formatMilestone(t, found.milestone)} on ${words.bareDay(found.at, zone)}`
  return saidBy === undefined ? said : `${saidBy} ${said}`
}

/** Since when, where what is known does not say it; null where it does. */
function describeSince({ overdue: { kind, sinceAt, zone }, words }: Facts): string | null {
  const { since } = OVERDUE[kind]
  return since && `${since} ${words.day(sinceAt, zone)}`
}

/** What is on its way to a laboratory. */
function describeExpectedItem(
  t: Translate,
  { samples, plant, p50, lateSinceDay }: ComingConsignment,
  words: DateFormat,
): ItemText {
  const codes = samples.map(({ code }) => formatKitCode(code))
  const [first] = samples as [SampleRow]
  const isOne = samples.length === 1
  const isDelivered = samples.every(({ stage }) => stage === 'delivered')
  const what = isOne ? `${codes[0]} (${formatProduct(first)})` : `${codes.length} samples`
  const dues = samples.flatMap(({ binding }) => binding?.dueAt ?? [])
  const dueAt = Math.min(...dues)
  const facts = [
    ...(isOne ? [] : [listSome(t, codes, 4)]),
    ...(isDelivered ? [`the carrier says ${formatMilestone(t, 'delivered')}`] : []),
    ...(lateSinceDay === null ? [] : ['later than 95 of 100 like it']),
  ]
  const likely = p50 === null ? null : `likely by ${words.localDay(p50, first.laboratoryZone)}`
  return {
    act: `${isDelivered ? capitalised(ACTS.receive.asks(what)) : `Expect ${what}`} from ${plant.name}`,
    why: facts.length > 0 ? facts.join('; ') : null,
    when: isDelivered || lateSinceDay !== null ? null : likely,
    stake:
      dues.length === 0 ? null : `${isOne ? 'Its' : 'The first'} hold limit is ${words.deadline(dueAt)}.`,
    path: isOne ? recordPath(first.code, isDelivered ? 'received' : null) : '/receiving',
    asksToCut: false,
  }
}

/** The next step of a sample, with why it is told of. */
function describeNextItem(t: Translate, item: DigestItem, basis: TextContext): ItemFacts {
  const sample = item.sample as SampleRow
  const { stage, stageAt } = sample
  const kit = formatKit(item, basis)
  const step = findNextStep(stage, sample.binding?.limit.to ?? null)
  const at =
    basis.zones.get('code' in item.actor ? item.actor.code : sample.laboratory) ?? sample.laboratoryZone
  const since =
    stage !== null && stageAt !== null
      ? `${formatMilestone(t, stage)} on ${basis.dates.day(stageAt, at)}`
      : null
  return {
    act: capitalised(step ? step.act(kit) + andRecord(t, step) : `look at ${kit}`),
    why: item.reason.kind === 'at risk' ? describeRisk(t, sample, basis.reader) : since,
    when: null,
    path: recordPath(sample.code, mayResolve(item.actor, basis.reader) ? (step?.record ?? null) : null),
    asksToCut: step?.record === 'collected',
  }
}

function describeRisk(
  t: Translate,
  { forecast, laboratory }: SampleRow,
  reader: TextContext['reader'],
): string {
  const isDesk = isResponsible({ by: 'laboratory', code: laboratory }, reader)
  const chance = forecast && `${formatChance(t, forecast.risk)} likely to miss its hold limit`
  const opening = forecast?.needsOpening ? `; ${describeOpening(t, isDesk)}` : ''
  return (chance ?? 'at risk of missing its hold limit') + opening
}

type Milestone = SampleRow['missingMilestones'][number]

/** A time that is missing. */
function describeMissingItem(
  t: Translate,
  item: DigestItem,
  milestone: Milestone,
  basis: TextContext,
): ItemFacts {
  const { code } = item.sample as SampleRow
  return {
    act: `Record when ${formatMilestone(t, milestone, formatKit(item, basis))}`,
    why: 'a later step is recorded, and its hold limit cannot be judged without it',
    when: null,
    path: recordPath(code, mayResolve(item.actor, basis.reader) ? milestone : null),
    asksToCut: false,
  }
}

function formatKit(item: DigestItem, basis: TextContext): string {
  const sample = item.sample as SampleRow
  return `${formatKitCode(sample.code)} (${[formatProduct(sample), ...listPlant(item, basis)].join('; ')})`
}

/** The name of a sample's product. */
function formatProduct({ productName: name, product }: SampleRow): string {
  return name ?? product ?? 'a product not named yet'
}

/** A plant's name, where it has to be said. */
function listPlant({ plant }: DigestItem, { names, showsPlant: namesPlant }: TextContext): string[] {
  return namesPlant ? [names.places.get(plant) ?? plant] : []
}
