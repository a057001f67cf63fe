import type { Names } from '@/lib/judgement/dueText'
import type { Judgement } from '@/lib/judgement/judge'
import type { JudgedSubject } from '@/lib/judgement/judgeAll'
import type { Loss } from '@/lib/judgement/loss'
import type { NextAct } from '@/lib/judgement/nextAct'
import type { Overdue } from '@/lib/judgement/overdueKinds'
import type { ActingRoles } from '@/lib/judgement/responsibility'
import type { Actor } from '@/lib/schedule/act'
import type { DueLine } from '@/lib/schedule/owedTests'
import type { SampleRow } from '@/lib/store/projection/sampleRow'
import type { ComingConsignment } from '@/lib/store/read/arrivals/arrivals'
import type { DateFormat } from './dateFormat'

/** What is asked of someone about a sample, and not overdue. */
interface SampleReason {
  judged: JudgedSubject
  act: NextAct
}

/** Why a digest names something. */
export type ItemReason =
  | { kind: 'overdue'; overdue: Overdue }
  /** It has to be done at once, and is not overdue. */
  | ({ kind: 'urgent' } & SampleReason)
  /** What to do meanwhile with a sample that is in question or unfit. */
  | ({ kind: 'meanwhile' } & SampleReason)
  /** What not to do with such a sample, said to whoever could do it and is asked for nothing. */
  | { kind: 'forbidden'; judged: JudgedSubject }
  /** The time of a milestone is missing, and a later one is recorded. */
  | ({ kind: 'not recorded' } & SampleReason)
  /** It may be lost before the next weekly mail unless this is done. */
  | ({ kind: 'soon lost' } & SampleReason)
  /** It is due before the next weekly mail. */
  | ({ kind: 'next step' } & SampleReason)
  | { kind: 'due'; line: DueLine }
  | { kind: 'expected'; coming: ComingConsignment }

interface Audience {
  /** Whether it need not be done now. */
  isUpcoming: boolean
  /** Who sees it besides those who have to do it. */
  forOthers: 'everyone' | 'who sees all' | 'nobody'
}

/** The audience of each kind of item. */
export const AUDIENCES: Readonly<Record<ItemReason['kind'], Audience>> = {
  overdue: { isUpcoming: false, forOthers: 'everyone' },
  urgent: { isUpcoming: false, forOthers: 'who sees all' },
  meanwhile: { isUpcoming: false, forOthers: 'nobody' },
  forbidden: { isUpcoming: false, forOthers: 'nobody' },
  'not recorded': { isUpcoming: false, forOthers: 'nobody' },
  'soon lost': { isUpcoming: false, forOthers: 'nobody' },
  'next step': { isUpcoming: true, forOthers: 'nobody' },
  due: { isUpcoming: true, forOthers: 'who sees all' },
  expected: { isUpcoming: true, forOthers: 'nobody' },
}

/** One thing that a digest names. Instants in ms UTC. */
export interface DigestItem {
  reason: ItemReason
  /** Stable from week to week. */
  key: string
  plant: string
  /** Who has to act. */
  actor: Actor
  sample: SampleRow | null
  /** What must not be done with its sample; null where nothing is forbidden. */
  restraint: Pick<Judgement, 'restraint' | 'fitness'> | null
  /** Whether it needs someone today. */
  isUrgent: boolean
  /** What can still be saved; null if waiting costs nothing more. */
  loss: Loss | null
  /** When it became overdue, or when it is due. */
  at: number
}

/** By the day on which it is lost or due. */
export function compareDay(a: DigestItem, b: DigestItem): number {
  return (a.loss?.at ?? a.at) - (b.loss?.at ?? b.at) || (a.key < b.key ? -1 : 1)
}

/** An item in words, and the path of the page that settles it. All but `act` are sentences. */
export interface ItemText {
  /** "Cut 7KQ2-M94Y (loop tile) and record it" */
  act: string
  why: string | null
  /** "Due Wed 25 November." */
  when: string | null
  /** What can still be saved, and until when. */
  stake: string | null
  path: string
  asksToCut: boolean
}

export interface TextContext {
  names: Names
  /** Zones of plants and laboratories by code. */
  zones: ReadonlyMap<string, string>
  dates: DateFormat
  /** The link depends on whose the item is. */
  reader: ActingRoles
  /** Whether to name the plant: a reader of several plants needs it, unless the item stands under a plant's heading. */
  showsPlant: boolean
}

export type ItemFacts = Omit<ItemText, 'stake'>
