import type { Milestone } from '@/lib/hold/milestone'
import type { Message } from '@/lib/messages/message'
import type { Actor } from '@/lib/schedule/act'
import { type ActName, SAMPLE_ACTS } from './acts'
import type { Loss } from './loss'
import type { OverdueKind } from './overdueKinds'

/** What someone has to do next about a sample. Instants in ms UTC. */
export interface NextAct {
  act: ActName
  actor: Actor
  /** The last instant at which it is in time; null where no time is known, or where it is to be done at once. */
  byAt: number | null
  /** Before this instant it would be early; null if it can be done now. */
  notBeforeAt: number | null
  /** Why, as a sentence. */
  why: Message
  /** Whether it needs someone today: it is overdue, presses by its kind, or the sample is at risk. */
  isUrgent: boolean
  /** By which kind lists name it since it is overdue, and since when; null while it is not. */
  overdue: { kind: OverdueKind; sinceAt: number } | null
  /** What can still be saved by it; null if waiting costs nothing more. */
  loss: Loss | null
  /** The keys of the findings to rule on: the first, if there are more than a link carries. */
  findings: readonly string[]
  /** The milestone whose time is asked for. */
  milestone: Milestone | null
  /** A spare kit at the plant that can be cut instead. */
  spare: string | null
}

type Options = Partial<
  Pick<NextAct, 'byAt' | 'notBeforeAt' | 'findings' | 'milestone' | 'spare' | 'isUrgent' | 'overdue'>
> & {
  /** As what lists name it once `afterAt` has passed; null: its time is not known. Absent where it is overdue at once, or never. */
  late?: { kind: OverdueKind; afterAt: number | null }
}

/** An act as of `now` (ms UTC), by which it may be overdue. */
export function makeAct(
  now: number,
  act: ActName,
  actor: Actor,
  why: Message,
  { late, isUrgent = false, ...options }: Options = {},
): NextAct {
  const lateAt = late?.afterAt ?? null
  const overdue =
    options.overdue ?? (late && lateAt !== null && lateAt < now ? { kind: late.kind, sinceAt: lateAt } : null)
  return {
    act,
    actor,
    byAt: null,
    notBeforeAt: null,
    why,
    isUrgent: isUrgent || overdue !== null || SAMPLE_ACTS[act].isPressing,
    loss: null,
    findings: [],
    milestone: null,
    spare: null,
    ...options,
    overdue,
  }
}

/** The earlier of two instants (ms UTC), of which either may be unknown. */
export function findSooner(a: number | null, b: number | null): number | null {
  return a === null || b === null ? (a ?? b) : Math.min(a, b)
}
