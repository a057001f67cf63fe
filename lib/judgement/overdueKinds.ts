import type { EventKind } from '@/lib/custody/event'
import type { Failure } from '@/lib/custody/fitness'
import type { Milestone } from '@/lib/hold/milestone'
import type { Message, MessageKey } from '@/lib/messages/message'
import { ACTS, type ActKind, type ActMessage, type Actor } from '@/lib/schedule/act'
import type { Loss } from './loss'

/** A page on which something overdue is settled: who issues a kit, who posts one, what the carrier says. */
export type ResolutionPage = 'first kit' | 'replacement' | 'kit' | 'carrier'

/** What the weekly mail knows of something overdue, as a sentence with its {day}. */
export type DayMessage = Extract<
  MessageKey,
  | `${'overdue' | 'milestone'}.${string}.on`
  | 'overdue.due'
  | `overdue.${string}.${'since' | 'issued'}`
  | 'overdue.notReceived.known'
>

/** Why something is overdue, as a sentence. */
export type WhyMessage = Extract<MessageKey, `overdue.${string}.why`>

interface OverdueRow {
  by: Actor['by']
  /** What has to be done about a kit, or a product without one: "Cut 7KQ2-M94Y". */
  text: ActMessage
  /** The same with what to record, as the weekly mail puts it. */
  recordText: ActMessage
  /** Null where the reason for a new sample says it. */
  why: WhyMessage | null
  /** What settles it: an event of a kind, or what is done on a page. */
  resolvedBy: { record: EventKind } | { page: ResolutionPage }
  /** What the weekly mail adds, with the day of the first of these that is known; `text` where not the event’s own. */
  known:
    | { text: 'overdue.noKit.known' }
    | { day: 'issue'; text: DayMessage }
    | { day: 'since'; text: DayMessage | null }
    | { day: readonly Milestone[]; text?: DayMessage }
    | null
  /** The last day on which it was in time; null where `known` has the day. */
  since: DayMessage | null
}

/** An act of a test that was not done: whose it is, what to do, and the milestone that settles it. */
function toActRow<Kind extends Exclude<ActKind, 'post kit'>>(kind: Kind) {
  const { by, text, milestone } = ACTS[kind]
  return { by, text, resolvedBy: { record: milestone } }
}

const ROWS = {
  'duty with no kit': {
    by: 'programme',
    text: 'overdue.noKit.do',
    recordText: 'overdue.noKit.do',
    why: 'overdue.noKit.why',
    resolvedBy: { page: 'first kit' },
    known: { text: 'overdue.noKit.known' },
    since: 'overdue.noKit.since',
  },
  'kit not posted': {
    by: 'programme',
    text: 'overdue.notPosted.do',
    recordText: 'overdue.notPosted.record',
    why: 'overdue.notPosted.why',
    resolvedBy: { page: 'kit' },
    known: { day: 'issue', text: 'overdue.notPosted.issued' },
    since: 'overdue.due',
  },
  'not cut': {
    ...toActRow('cut'),
    recordText: 'act.cut.record',
    why: 'overdue.notCut.why',
    known: null,
    since: 'overdue.due',
  },
  'not handed over': {
    ...toActRow('hand over'),
    recordText: 'act.handOver.record',
    why: 'overdue.notHandedOver.why',
    known: { day: ['collected', 'sealed'] },
    since: 'overdue.due',
  },
  'under way too long': {
    by: 'programme',
    text: 'act.carrier.do',
    recordText: 'overdue.tooLong.record',
    why: 'overdue.tooLong.why',
    // The carrier may say anything: that it was seen, is held, has arrived or is lost.
    resolvedBy: { page: 'carrier' },
    known: { day: ['dispatched'] },
    since: 'overdue.tooLong.since',
  },
  'delivered but not received': {
    ...toActRow('receive'),
    recordText: 'overdue.notReceived.record',
    why: 'overdue.notReceived.why',
    known: { day: ['delivered'], text: 'overdue.notReceived.known' },
    since: 'overdue.due',
  },
  'not loaded in time': {
    ...toActRow('load'),
    recordText: 'act.load.record',
    why: 'overdue.notLoaded.why',
    known: { day: ['received'] },
    since: 'overdue.due',
  },
  'lapsed with no re-collection': {
    by: 'programme',
    text: 'act.replace.do',
    recordText: 'act.replace.do',
    why: null,
    resolvedBy: { page: 'replacement' },
    known: { day: 'since', text: null },
    since: null,
  },
  'deviation with no ruling': {
    by: 'programme',
    text: 'act.rule.do',
    recordText: 'act.rule.do',
    why: 'overdue.noRuling.why',
    resolvedBy: { record: 'ruling' },
    known: { day: 'since', text: 'overdue.noRuling.on' },
    since: null,
  },
  'form copy missing': {
    by: 'plant',
    text: 'overdue.noFormCopy.do',
    recordText: 'overdue.noFormCopy.record',
    why: 'overdue.noFormCopy.why',
    resolvedBy: { record: 'form copy' },
    known: { day: ['dispatched'] },
    since: 'overdue.due',
  },
  'report late': {
    ...toActRow('report'),
    recordText: 'act.report.record',
    why: 'overdue.reportLate.why',
    known: { day: ['loaded'] },
    since: 'overdue.due',
  },
} satisfies Record<string, OverdueRow>

export type OverdueKind = keyof typeof ROWS

export const OVERDUE: Readonly<Record<OverdueKind, OverdueRow>> = ROWS
export const OVERDUE_KINDS = Object.keys(ROWS) as OverdueKind[]

/** Who has to act on a sample of this plant for this laboratory. */
export function findActor(
  kind: OverdueKind,
  { plant, laboratory }: { plant: string; laboratory: string },
): Actor {
  const { by } = OVERDUE[kind]
  if (by === 'programme') return { by }
  return { by, code: by === 'plant' ? plant : laboratory }
}

/** Whether someone is to cut, which needs a caution. */
export function asksToCut(kind: OverdueKind): boolean {
  const { resolvedBy } = OVERDUE[kind]
  return 'record' in resolvedBy && resolvedBy.record === 'collected'
}

/** Something that should have been done by now. */
export interface Overdue {
  kind: OverdueKind
  /** Who has to act. */
  actor: Actor
  /** The last instant (ms UTC) at which it was in time; if it was overdue at once, when it came about. Shown in `zone`. */
  sinceAt: number
  zone: string
  plant: string
  laboratory: string
  product: string | null
  /** Kit code; null while there is no kit. */
  sample: string | null
  /** The owed test that it holds up. */
  duty: string | null
  number: number | null
  /** Why it has to be cut again. */
  reason: Failure | null
  /** The finding that waits for a ruling. */
  deviation: string | null
  /** What was found, as a sentence, where something waits for a ruling. */
  found: Message | null
  /** The service by which its sample travels. */
  service: string | null
  /** A spare kit at the plant that can replace it. */
  spare: string | null
  /** What can still be saved; null if waiting costs nothing more. */
  loss: Loss | null
  /** Identifies the task over time; what is set aside refers to it. */
  subject: string
}
