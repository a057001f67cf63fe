import { isCutting } from '@/lib/judgement/acts'
import { nameAct } from '@/lib/judgement/actText'
import {
  addDetails,
  describeActs,
  describeOverdueAct,
  formatKitCode,
  getProductName,
} from '@/lib/judgement/dueText'
import type { JudgedSubject } from '@/lib/judgement/judgeAll'
import { OVERDUE, type Overdue } from '@/lib/judgement/overdueKinds'
import { actPath, duePath, recordPath, resolutionPath } from '@/lib/judgement/resolutionPath'
import { describeRestraint } from '@/lib/judgement/restraintText'
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
    case 'forbidden':
      return { ...describeForbiddenItem(t, item, reason, context), stake }
    default:
      return { ...describeActItem(t, item, reason, context), stake }
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
  const { sample, product } = overdue
  const { why } = OVERDUE[overdue.kind]
  const details = [
    ...(sample === null || product === null ? [] : [getProductName(t, product, names)]),
    ...listPlant(item, context),
  ]
  return {
    act: describeOverdueAct(t, 'recordText', overdue, names, details),
    why: joinSentences([
      describeKnown(t, overdue, item.sample, dates),
      why === null && overdue.reason === null && t.message(overdue.why),
      item.restraint && describeRestraint(t, item.restraint, item.actor),
    ]),
    when: describeSince(t, overdue, dates),
    path: resolutionPath(overdue, reader),
    asksToCut: isCutting(overdue.act),
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
    why: owed.kits.length === 0 ? t('mail.item.noKit') : null,
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
  return t('mail.stake.sample', { sample: kit, milestone: loss.milestone, deadline: dates.deadline(loss.at) })
}

type Milestone = SampleRow['milestones'][number]['milestone']

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
  if (known.day === 'since') return formatFailure(t, reason, dates.day(sinceAt, zone))
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

/** What is asked for about a sample, with its risk and what must not be done meanwhile. */
function describeActItem(
  t: Translate,
  item: DigestItem,
  { judged, act }: Extract<ItemReason, { act: object }>,
  context: TextContext,
): ItemFacts {
  const { sample, restraint, loss } = item
  const { act: name, byAt, milestone, why } = act
  const named = formatSample(t, item, context, judged)
  const isRisky = sample?.standing === 'at risk' && sample.forecast !== null && milestone === null
  return {
    act:
      milestone === null
        ? nameAct(t, 'recordText', act, named)
        : t('mail.item.missing', { milestone, sample: named }),
    why: joinSentences([
      milestone === null ? t.message(why) : t('mail.item.missing.why'),
      isRisky && t('mail.item.risk', { chance: formatChance(t, sample.forecast?.risk ?? 0) }),
      restraint && describeRestraint(t, restraint, item.actor),
    ]),
    // What is lost by then says the day, too.
    when:
      byAt === null || byAt === loss?.at
        ? null
        : t('mail.item.by', { deadline: context.dates.deadline(byAt) }),
    path: actPath(act, judged, context.reader),
    asksToCut: isCutting(name),
  }
}

/** What someone must not do with a sample, and why. */
function describeForbiddenItem(
  t: Translate,
  item: DigestItem,
  { judged }: ReasonOfKind<'forbidden'>,
  context: TextContext,
): ItemFacts {
  const { restraint, acts } = judged.judgement
  const sample = formatSample(t, item, context, judged)
  const [leading] = acts
  return {
    act: t(restraint === 'do not send' ? 'mail.item.doNotSend' : 'mail.item.doNotLoad', { sample }),
    why: joinSentences([
      leading ? t.message(leading.why) : null,
      describeRestraint(t, judged.judgement, item.actor),
    ]),
    when: null,
    path: recordPath(judged.sample, null),
    asksToCut: false,
  }
}

function joinSentences(sentences: readonly (string | null | false)[]): string | null {
  return sentences.filter((one) => one).join(' ') || null
}

function formatSample(
  t: Translate,
  item: DigestItem,
  context: TextContext,
  { sample, product }: JudgedSubject,
): string {
  const name = item.sample?.productName ?? getProductName(t, product, context.names)
  return addDetails(t, formatKitCode(sample), [name, ...listPlant(item, context)])
}

function formatProduct(t: Translate, { productName, product }: SampleRow): string {
  return productName ?? product ?? t('act.product.unnamed')
}

/** The plant's name, if it has to be shown. */
function listPlant({ plant }: DigestItem, { names, showsPlant }: TextContext): string[] {
  return showsPlant ? [names.places.get(plant) ?? plant] : []
}
