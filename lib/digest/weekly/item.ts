import type { Names } from '@/lib/judgement/dueText'
import type { ActingRoles as Reader } from '@/lib/judgement/responsibility'
import type { Actor } from '@/lib/schedule/act'
import type { Overdue } from '@/lib/schedule/overdueKinds'
import type { DueLine } from '@/lib/schedule/owedTests'
import type { LastCut } from '@/lib/schedule/workBack'
import type { SampleRow } from '@/lib/store/projection/sampleRow'
import type { ComingConsignment } from '@/lib/store/read/arrivals/arrivals'
import type { DateFormat } from './dateFormat'

/** What a digest names something for. */
export type ItemReason =
  | { kind: 'overdue'; overdue: Overdue }
  /** Nothing is overdue on it, and it is likely to miss its hold limit. */
  | { kind: 'at risk' }
  /** Nothing is overdue on it, its next step is theirs who have it, and it may be lost before the next weekly mail. */
  | { kind: 'soon lost' }
  /** The same, and it cannot be lost by then. */
  | { kind: 'next step' }
  /** When a milestone was is missing, though a later one is recorded. */
  | { kind: 'not recorded'; milestone: SampleRow['missingMilestones'][number] }
  | { kind: 'due'; line: DueLine }
  | { kind: 'expected'; coming: ComingConsignment }

interface Audience {
  /** It need not be done now. */
  isUpcoming: boolean
  /** Who is told of it where it is others' to do. */
  forOthers: 'everyone' | 'who sees all' | 'nobody'
}

/** Whom a digest tells of each kind of thing, besides those who have to do it. */
export const AUDIENCES: Readonly<Record<ItemReason['kind'], Audience>> = {
  overdue: { isUpcoming: false, forOthers: 'everyone' },
  'at risk': { isUpcoming: false, forOthers: 'who sees all' },
  'soon lost': { isUpcoming: false, forOthers: 'nobody' },
  'next step': { isUpcoming: true, forOthers: 'nobody' },
  'not recorded': { isUpcoming: false, forOthers: 'nobody' },
  due: { isUpcoming: true, forOthers: 'who sees all' },
  expected: { isUpcoming: true, forOthers: 'nobody' },
}

/** What is lost where something is done later than `at` (ms UTC): a sample by its hold limit, or a report's day. */
export interface Loss {
  kind: 'sample' | 'report'
  at: number
  zone: string
  /** Of a report whose sample is not cut yet: by when that can be cut for it to be in time. */
  lastCut?: LastCut | null
}

/** One thing that a digest names. Instants in ms UTC. */
export interface DigestItem {
  reason: ItemReason
  /** The same from week to week for the same thing. */
  key: string
  plant: string
  /** Who has to act. */
  actor: Actor
  sample: SampleRow | null
  /** What can still be saved; null where nothing more is lost by waiting. */
  loss: Loss | null
  /** Since when it is overdue, or by when it is due. */
  at: number
}

/**
 * Most pressing first: what can still be saved before what merely is late, since only there does a day more or less
 * change what comes of it. The former by when it is lost, the latter by how long it has waited.
 */
export function compareUrgency(a: DigestItem, b: DigestItem): number {
  if ((a.loss === null) !== (b.loss === null)) return a.loss === null ? 1 : -1
  return (a.loss?.at ?? a.at) - (b.loss?.at ?? b.at) || a.at - b.at || (a.key < b.key ? -1 : 1)
}

/** What is due or lost first, first. */
export function compareDay(a: DigestItem, b: DigestItem): number {
  return (a.loss?.at ?? a.at) - (b.loss?.at ?? b.at) || (a.key < b.key ? -1 : 1)
}

/** An item in words: with `when`, one plain sentence that can be acted on alone, and the path of the page that settles it. */
export interface ItemText {
  /** "Cut 7KQ2-M94Y (loop tile) and record it" */
  act: string
  /** Why, as the rest of it: "the ruling was to cut it again". */
  why: string | null
  /** "due Wed 25 November" */
  when: string | null
  /** What can still be saved, and until when, as a sentence of its own. */
  stake: string | null
  path: string
  asksToCut: boolean
}

export interface TextContext {
  names: Names
  /** Zones of plants and laboratories by code. */
  zones: ReadonlyMap<string, string>
  dates: DateFormat
  /** Who reads it: whose it is says where it leads to. */
  reader: Reader
  /** Whether to name the plant: where a reader has several, and it stands under no plant's heading. */
  showsPlant: boolean
}

export type ItemFacts = Omit<ItemText, 'stake'>
