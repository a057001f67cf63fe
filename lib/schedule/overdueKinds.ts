import type { EventKind } from '@/lib/custody/event'
import type { Milestone } from '@/lib/hold/milestone'
import { english } from '@/lib/messages/english'
import { ACTS, type ActKind, type Actor, formatCarrierRequest, formatReplacementRequest } from './act'
import type { Failure } from './progress'

/** A page on which something overdue is settled: who issues a kit, who posts one, what the carrier says. */
export type ResolutionPage = 'first kit' | 'replacement' | 'kit' | 'carrier'

interface OverdueRow {
  by: Actor['by']
  /** What has to be done, as a sentence without its end. `what` is the kit, or the product of which there is none. */
  asks(what: string): string
  /** Why; null where the reason for which a sample has to be cut again says it. */
  why: string | null
  /** What settles it: an event of a kind, or what is done on a page. */
  resolvedBy: { record: EventKind } | { page: ResolutionPage }
  /** What waiting costs: the sample while its clock runs, the day of its report while that can be had, or nothing more. */
  atStake: 'sample' | 'report' | null
  /**
   * What the weekly mail knows of it: a sentence; or what is dated by the day of issue, by the first of some milestones
   * that is reported, or (`why` then) by since when it is overdue.
   */
  known: { text: string } | { day: 'issue' | 'since' | readonly Milestone[]; saidBy?: string } | null
  /** How the mail says the last day on which it was in time; null where what is known has the day. */
  since: string | null
  /** How what it asks for goes on in the mail: what is recorded beside it. */
  andThen: string
}

/** An act of a test that was not done: whose it is, what it asks for, and the milestone that settles it. */
function toActRow(kind: Exclude<ActKind, 'post kit'>) {
  const { by, asks, milestone } = ACTS[kind]
  return { by, asks, resolvedBy: { record: milestone } }
}

const ROWS = {
  'duty with no kit': {
    by: 'programme',
    asks: (product) => `issue a kit for ${product}`,
    why: 'a test of it is owed, and no kit was issued',
    resolvedBy: { page: 'first kit' },
    atStake: 'report',
    known: { text: 'no kit is issued for its test' },
    since: 'one was to be posted by',
    andThen: '',
  },
  'kit not posted': {
    by: 'programme',
    asks: (kit) => `post kit ${kit}`,
    why: 'it was issued and has not left',
    resolvedBy: { page: 'kit' },
    atStake: 'report',
    known: { day: 'issue' },
    since: 'due',
    andThen: ' and record it',
  },
  'not cut': {
    ...toActRow('cut'),
    why: 'the day for it has passed',
    atStake: 'report',
    known: null,
    since: 'due',
    andThen: ' and record it',
  },
  'not handed over': {
    ...toActRow('hand over'),
    why: 'it is cut, and its pickup has passed',
    atStake: 'sample',
    known: { day: ['collected', 'sealed'] },
    since: 'due',
    andThen: ' and record it',
  },
  'under way too long': {
    by: 'programme',
    asks: (one) => formatCarrierRequest(english, one),
    why: 'it has been under way longer than 95 of 100 on its lane',
    // The carrier may say anything: that it was seen, is held, has arrived or is lost.
    resolvedBy: { page: 'carrier' },
    atStake: 'sample',
    known: { day: ['dispatched'] },
    since: '95 of 100 like it had arrived by',
    andThen: ' and record what it says',
  },
  'delivered but not received': {
    ...toActRow('receive'),
    why: 'the carrier says that it was delivered',
    atStake: 'sample',
    known: { day: ['delivered'], saidBy: 'the carrier says' },
    since: 'due',
    andThen: ', or say that it is not there',
  },
  'not loaded in time': {
    ...toActRow('load'),
    why: 'it has arrived, and its test has not begun',
    atStake: 'sample',
    known: { day: ['received'] },
    since: 'due',
    andThen: ' and record it',
  },
  'lapsed with no re-collection': {
    by: 'programme',
    asks: (one) => formatReplacementRequest(english, one),
    why: null,
    resolvedBy: { page: 'replacement' },
    atStake: 'report',
    known: { day: 'since' },
    since: null,
    andThen: '',
  },
  'deviation with no ruling': {
    by: 'programme',
    asks: (kit) => `rule on the deviation of ${kit}`,
    why: 'something was found wrong with it',
    resolvedBy: { record: 'ruling' },
    atStake: 'sample',
    known: { day: 'since' },
    since: null,
    andThen: '',
  },
  'form copy missing': {
    by: 'plant',
    asks: (kit) => `send the copy of the form of ${kit}`,
    why: 'it has left, and no copy has come',
    resolvedBy: { record: 'form copy' },
    atStake: null,
    known: { day: ['dispatched'] },
    since: 'due',
    andThen: ' and record it',
  },
  'report late': {
    ...toActRow('report'),
    why: 'the day for it has passed',
    atStake: null,
    known: { day: ['loaded'] },
    since: 'due',
    andThen: ' and record it',
  },
} satisfies Record<string, OverdueRow>

export type OverdueKind = keyof typeof ROWS

/** Each kind of what can be overdue. */
export const OVERDUE: Readonly<Record<OverdueKind, OverdueRow>> = ROWS
export const OVERDUE_KINDS = Object.keys(ROWS) as OverdueKind[]

/** Who has to do what a kind asks for, of a sample of this plant bound for this laboratory. */
export function findActor(
  kind: OverdueKind,
  { plant, laboratory }: { plant: string; laboratory: string },
): Actor {
  const { by } = OVERDUE[kind]
  if (by === 'programme') return { by }
  return { by, code: by === 'plant' ? plant : laboratory }
}

/** Whether a kind asks someone to cut, which needs a caution. */
export function asksToCut(kind: OverdueKind): boolean {
  const { resolvedBy: settledBy } = OVERDUE[kind]
  return 'record' in settledBy && settledBy.record === 'collected'
}

/** Something that should have been done by now. */
export interface Overdue {
  kind: OverdueKind
  /** Who has to act. */
  actor: Actor
  /** The last instant (ms UTC) at which it was in time, or where nothing was to be waited for, at which it came about; shown in `zone`. */
  sinceAt: number
  zone: string
  plant: string
  laboratory: string
  product: string | null
  /** Kit code; null where there is no kit yet. */
  sample: string | null
  /** The test that it holds up, where it is one that is owed. */
  duty: string | null
  number: number | null
  /** Why it has to be cut again. */
  reason: Failure | null
  /** The deviation that waits for a ruling, as source/id. */
  deviation: string | null
  /** The same for the same thing whenever it is asked: what a snooze names. */
  subject: string
}
