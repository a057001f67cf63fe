import type { Failure } from '@/lib/custody/fitness'
import type { Milestone } from '@/lib/hold/milestone'
import type { Message, MessageKey } from '@/lib/messages/message'
import type { ActMessage, Actor } from '@/lib/schedule/act'
import type { ActName } from './acts'
import type { Loss } from './loss'

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
  /** What to do and to record, as the weekly mail puts it, where that is more than its act says. */
  recordText?: ActMessage
  /** Null where its act says it. */
  why: WhyMessage | null
  /** What the weekly mail adds, with the day of the first of these that is known; `text` where not the event’s own. `since`: of the failure. */
  known:
    | { text: 'overdue.noKit.known' }
    | { day: 'issue'; text: DayMessage }
    | { day: 'since' }
    | { day: readonly Milestone[]; text?: DayMessage }
    | null
  /** The last day on which it was in time; null where `known` has the day. */
  since: DayMessage | null
}

/** What lists say of an act that is overdue, besides what the act itself says. */
const ROWS = {
  'duty with no kit': {
    why: 'overdue.noKit.why',
    known: { text: 'overdue.noKit.known' },
    since: 'overdue.noKit.since',
  },
  'kit not posted': {
    why: 'overdue.notPosted.why',
    known: { day: 'issue', text: 'overdue.notPosted.issued' },
    since: 'overdue.due',
  },
  'not cut': {
    why: 'overdue.notCut.why',
    known: null,
    since: 'overdue.due',
  },
  'not handed over': {
    why: 'overdue.notHandedOver.why',
    known: { day: ['collected', 'sealed'] },
    since: 'overdue.due',
  },
  'under way too long': {
    recordText: 'overdue.tooLong.record',
    why: 'overdue.tooLong.why',
    known: { day: ['dispatched'] },
    since: 'overdue.tooLong.since',
  },
  'delivered but not received': {
    recordText: 'overdue.notReceived.record',
    why: 'overdue.notReceived.why',
    known: { day: ['delivered'], text: 'overdue.notReceived.known' },
    since: 'overdue.due',
  },
  'not loaded in time': {
    why: 'overdue.notLoaded.why',
    known: { day: ['received'] },
    since: 'overdue.due',
  },
  'lapsed with no re-collection': {
    why: null,
    known: { day: 'since' },
    since: null,
  },
  'deviation with no ruling': {
    why: null,
    known: null,
    since: 'overdue.due',
  },
  'form copy missing': {
    why: null,
    known: { day: ['dispatched'] },
    since: 'overdue.due',
  },
  'report late': {
    why: 'overdue.reportLate.why',
    known: { day: ['loaded'] },
    since: 'overdue.due',
  },
} satisfies Record<string, OverdueRow>

export type OverdueKind = keyof typeof ROWS

export const OVERDUE: Readonly<Record<OverdueKind, OverdueRow>> = ROWS
export const OVERDUE_KINDS = Object.keys(ROWS) as OverdueKind[]

/** Something that should have been done by now. */
export interface Overdue {
  kind: OverdueKind
  /** What is to be done about the sample; null while there is no kit. */
  act: ActName | null
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
  /** The keys of the findings that wait for a ruling. */
  findings: readonly string[]
  /** Why, as a sentence. */
  why: Message
  /** The service by which its sample travels. */
  service: string | null
  /** A spare kit at the plant that can replace it. */
  spare: string | null
  /** What can still be saved; null if waiting costs nothing more. */
  loss: Loss | null
  /** Identifies the task over time; what is set aside refers to it. */
  subject: string
}
