import {
  addDetails,
  describeActs,
  describeOverdueAct,
  formatKitCode,
  getProductName,
} from '@/lib/judgement/dueText'
import { describeOpening, findNextStep } from '@/lib/judgement/nextStep'
import { asksToCut, OVERDUE, type Overdue } from '@/lib/judgement/overdueKinds'
import { duePath, recordPath, resolutionPath } from '@/lib/judgement/resolutionPath'
import { isResponsible, mayResolve } from '@/lib/judgement/responsibility'
import type { MessageKey } from '@/lib/messages/message'
import type { Translate } from '@/lib/messages/translate'
import { formatFailure } from '@/lib/schedule/progress'
import { formatLastCut } from '@/lib/schedule/workBack'
import type { SampleRow } from '@/lib/store/projection/sampleRow'
import type { ComingConsignment } from '@/lib/store/read/arrivals/arrivals'
import type { DateFormat } from './dateFormat'
import type { DigestItem, ItemFacts, ItemReason, ItemText, TextContext } from './item'
import { formatChance, listSome } from './lineText'

/** Puts an item into words. */
export function describeItem(t: Translate, item: DigestItem, context: TextContext): ItemText {
  const { reason } = item
  const stake = describeStake(t, item, context.dates)
  switch (reason.kind) {
    case 'overdue':
      return { ...describeOverdueItem(t, item, reason, context), stake }
    case 'due':
      return { ...describeDueItem(t, item, reason, context), stake }
    case 'expected':
      return describeExpectedItem(t, reason.coming, context.dates)
    case 'at risk':
    case 'soon lost':
    case 'next step':
      return { ...describeNextItem(t, item, context), stake }
    case 'not recorded':
      return { ...describeMissingItem(t, item, reason.milestone, context), stake }
  }
}

type ReasonOfKind<Kind extends ItemReason['kind']> = Extract<ItemReason, { kind: Kind }>

function describeOverdueItem(
  t: Translate,
  item: DigestItem,
  { overdue }: ReasonOfKind<'overdue'>,
  context: TextContext,
): ItemFacts {
  const { names, dates, reader } = context
  const { kind, sample, product } = overdue
  const details = [
    ...(sample === null || product === null ? [] : [getProductName(t, product, names)]),
    ...listPlant(item, context),
  ]
  return {
    act: describeOverdueAct(t, OVERDUE[kind].recordText, overdue, names, details),
    why: describeKnown(t, overdue, item.sample, dates),
    when: describeSince(t, overdue, dates),
    path: resolutionPath(overdue, reader),
    asksToCut: asksToCut(kind),
  }
}

function describeDueItem(
  t: Translate,
  item: DigestItem,
  { line }: ReasonOfKind<'due'>,
  context: TextContext,
): ItemFacts {
  const { names, dates } = context
  const { owed, acts, dueAt, zone } = line
  const product = owed.kit === null ? [] : [getProductName(t, owed.product, names)]
  return {
    act: describeActs(t, acts, owed, names, [...product, ...listPlant(item, context)]),
    why: owed.kit === null ? t('mail.item.noKit') : null,
    when: t('overdue.due', { day: dates.day(dueAt, zone) }),
    path: duePath(line, context.reader),
    asksToCut: acts.includes('cut'),
  }
}

function describeStake(t: Translate, { loss, sample }: DigestItem, dates: DateFormat): string | null {
  if (loss === null) return null
  const kit = formatKitCode(sample?.code ?? '')
  if (loss.kind === 'report') {
    const sentence = t('mail.stake.report', { day: dates.day(loss.at, loss.zone) })
    return loss.lastCut ? `${sentence} ${formatLastCut(t, loss.lastCut, kit, dates.localDay)}` : sentence
  }
  const milestone = sample?.binding?.limit.to ?? 'loaded'
  return t('mail.stake.sample', { sample: kit, milestone, deadline: dates.deadline(loss.at) })
}

/** When a milestone was, as a sentence. */
const MILESTONE_ON: Record<Milestone, Extract<MessageKey, `milestone.${string}.on`>> = {
  produced: 'milestone.produced.on',
  collected: 'milestone.collected.on',
  sealed: 'milestone.sealed.on',
  dispatched: 'milestone.dispatched.on',
  delivered: 'milestone.delivered.on',
  received: 'milestone.received.on',
  conditioned: 'milestone.conditioned.on',
  loaded: 'milestone.loaded.on',
  reported: 'milestone.reported.on',
}

/** What is known of something overdue, with its day; null where nothing is. */
function describeKnown(
  t: Translate,
  { kind, reason, sinceAt, zone }: Overdue,
  sample: SampleRow | null,
  dates: DateFormat,
): string | null {
  const { known } = OVERDUE[kind]
  if (known === null) return null
  if (!('day' in known)) return t(known.text)
  if (known.day === 'issue') return sample && t(known.text, { day: dates.bareDay(sample.issuedAt, zone) })
  if (known.day === 'since') {
    const day = dates.day(sinceAt, zone)
    return known.text === null ? formatFailure(t, reason, day) : t(known.text, { day })
  }
  const [found] = known.day.flatMap(
    (milestone) => sample?.milestones.filter((one) => one.milestone === milestone) ?? [],
  )
  if (!found) return null
  return t(known.text ?? MILESTONE_ON[found.milestone], { day: dates.bareDay(found.at, zone) })
}

/** Since when something is overdue, if what is known does not say it. */
function describeSince(t: Translate, { kind, sinceAt, zone }: Overdue, dates: DateFormat): string | null {
  const { since } = OVERDUE[kind]
  return since && t(since, { day: dates.day(sinceAt, zone) })
}

/** What is on its way to a laboratory. */
function describeExpectedItem(
  t: Translate,
  { samples, plant, p50, lateSinceDay }: ComingConsignment,
  dates: DateFormat,
): ItemText {
  const codes = samples.map(({ code }) => formatKitCode(code))
  const [first] = samples as [ComingConsignment['samples'][number]]
  const count = samples.length
  const isDelivered = samples.every(({ stage }) => stage === 'delivered')
  const named = addDetails(t, formatKitCode(first.code), [formatProduct(t, first)])
  const values = { count, samples: named, plant: plant.name }
  const dues = samples.flatMap(({ binding }) => binding?.dueAt ?? [])
  const facts = [
    ...(count === 1 ? [] : [t('mail.names', { names: listSome(t, codes, 4) })]),
    ...(isDelivered ? [t('step.receive.because', { count })] : []),
    ...(lateSinceDay === null ? [] : [t('mail.item.late', { count })]),
  ]
  const isLikely = p50 !== null && !isDelivered && lateSinceDay === null
  return {
    act: isDelivered ? t('mail.item.receive', values) : t('mail.item.expect', values),
    why: facts.length > 0 ? facts.join(' ') : null,
    when: isLikely ? t('mail.item.likely', { day: dates.localDay(p50, first.laboratoryZone) }) : null,
    stake:
      dues.length === 0
        ? null
        : t('mail.stake.limit', { count, deadline: dates.deadline(Math.min(...dues)) }),
    path: count === 1 ? recordPath(first.code, isDelivered ? 'received' : null) : '/receiving',
    asksToCut: false,
  }
}

/** The next step of a sample, with its risk or how long it has waited. */
function describeNextItem(t: Translate, item: DigestItem, context: TextContext): ItemFacts {
  const sample = item.sample as SampleRow
  const { stage, stageAt } = sample
  const named = formatSample(t, item, context)
  const step = findNextStep(stage, sample.binding?.limit.to ?? null)
  const zone =
    context.zones.get('code' in item.actor ? item.actor.code : sample.laboratory) ?? sample.laboratoryZone
  const since =
    stage !== null && stageAt !== null
      ? t(MILESTONE_ON[stage], { day: context.dates.day(stageAt, zone) })
      : null
  return {
    act: step ? t(step.recordText, { sample: named }) : t('mail.item.look', { sample: named }),
    why: item.reason.kind === 'at risk' ? describeRisk(t, sample, context.reader) : since,
    when: null,
    path: recordPath(sample.code, mayResolve(item.actor, context.reader) ? (step?.record ?? null) : null),
    asksToCut: step?.record === 'collected',
  }
}

function describeRisk(
  t: Translate,
  { forecast, laboratory }: SampleRow,
  reader: TextContext['reader'],
): string {
  const risk = forecast
    ? t('mail.item.risk', { chance: formatChance(t, forecast.risk) })
    : t('mail.item.atRisk')
  if (!forecast?.needsOpening) return risk
  const isAtLaboratory = isResponsible({ by: 'laboratory', code: laboratory }, reader)
  return `${risk} ${describeOpening(t, isAtLaboratory)}`
}

type Milestone = SampleRow['missingMilestones'][number]

function describeMissingItem(
  t: Translate,
  item: DigestItem,
  milestone: Milestone,
  context: TextContext,
): ItemFacts {
  const { code } = item.sample as SampleRow
  return {
    act: t('mail.item.missing', { milestone, sample: formatSample(t, item, context) }),
    why: t('mail.item.missing.why'),
    when: null,
    path: recordPath(code, mayResolve(item.actor, context.reader) ? milestone : null),
    asksToCut: false,
  }
}

function formatSample(t: Translate, item: DigestItem, context: TextContext): string {
  const sample = item.sample as SampleRow
  return addDetails(t, formatKitCode(sample.code), [formatProduct(t, sample), ...listPlant(item, context)])
}

function formatProduct(t: Translate, { productName, product }: SampleRow): string {
  return productName ?? product ?? t('act.product.unnamed')
}

/** The plant's name, if it has to be shown. */
function listPlant({ plant }: DigestItem, { names, showsPlant }: TextContext): string[] {
  return showsPlant ? [names.places.get(plant) ?? plant] : []
}
