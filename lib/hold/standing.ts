import { type Clock, stateAt } from './clock'

export const OPEN_STANDINGS = ['lapsed', 'at risk', 'tight', 'sound'] as const
export type OpenStanding = (typeof OPEN_STANDINGS)[number]
export type SettledStanding = 'lapsed' | 'ended' | 'unproven' | 'kept'
export type Standing = OpenStanding | SettledStanding

/** Shares of a clock's time (0 to 1) from which it is called tight, and at risk. */
export interface Thresholds {
  tight: number
  atRisk: number
}

/** Used where a protocol sets none: shares of the time used, until a forecast tells the chance to miss. */
export const DEFAULT_THRESHOLDS: Thresholds = { tight: 0.6, atRisk: 0.85 }

/**
 * The instants (ms UTC) at which an open sample's standing worsens by itself, null where it never does.
 * They hold until a new fact comes, so a standing at any `now` is a comparison with them.
 */
export interface Turns {
  tightAt: number | null
  atRiskAt: number | null
  /** The first due of the clocks that bind. */
  dueAt: number | null
  /** A clock has already stopped after its due: the sample is lapsed whatever the time. */
  hasLapsed: boolean
}

/** Whether a clock can bind its sample: it has started, has neither stopped nor ended, and waits for its stop. */
export function canBind(clock: Clock): boolean {
  return clock.startedAt !== null && clock.stoppedAt === null && !clock.isEnded && !clock.isNotReported
}

/** When the standing of an open sample with these clocks turns. */
export function turnsOf(clocks: readonly Clock[], thresholds: Thresholds = DEFAULT_THRESHOLDS): Turns {
  const turns: Turns = { tightAt: null, atRiskAt: null, dueAt: null, hasLapsed: false }
  for (const clock of clocks) {
    if (stateAt(clock, Number.NEGATIVE_INFINITY) === 'lapsed') turns.hasLapsed = true
    if (!canBind(clock)) continue
    turns.tightAt = earlier(turns.tightAt, turnOf(clock, thresholds.tight))
    turns.atRiskAt = earlier(turns.atRiskAt, turnOf(clock, thresholds.atRisk))
    turns.dueAt = earlier(turns.dueAt, clock.dueAt as number)
  }
  return turns
}

/** The instant by which `share` of a started clock's time is used, ms UTC, rounded up. */
function turnOf(clock: Clock, share: number): number {
  const [start, due] = [clock.startedAt as number, clock.dueAt as number]
  return Math.ceil(start + (due - start) * share)
}

function earlier(a: number | null, b: number): number {
  return a === null || b < a ? b : a
}

/** The standing of an open sample at `now` (ms UTC). */
export function openStanding(turns: Turns, now: number): OpenStanding {
  if (turns.hasLapsed || (turns.dueAt !== null && now > turns.dueAt)) return 'lapsed'
  if (turns.atRiskAt !== null && now >= turns.atRiskAt) return 'at risk'
  if (turns.tightAt !== null && now >= turns.tightAt) return 'tight'
  return 'sound'
}

/**
 * The standing of a settled sample; it no longer depends on time. A clock whose stop was never reported before
 * the report was issued proves nothing either.
 */
export function settledStanding(clocks: readonly Clock[], isEnded: boolean): SettledStanding {
  const states = clocks.map((clock) => stateAt(clock, Number.POSITIVE_INFINITY))
  if (states.includes('lapsed')) return 'lapsed'
  if (isEnded) return 'ended'
  return states.includes('unproven') || states.includes('overrun') ? 'unproven' : 'kept'
}

/**
 * The clock that binds an open sample at `now`: of those running or overrun, the one furthest on its way to be
 * missed (lapsed before at risk before tight before sound), then the first due, then by name. Undefined where
 * none runs.
 */
export function bindingClock(
  clocks: readonly Clock[],
  now: number,
  thresholds: Thresholds = DEFAULT_THRESHOLDS,
): Clock | undefined {
  return clocks.filter(canBind).reduce<Clock | undefined>((best, clock) => {
    if (!best) return clock
    const order =
      urgency(clock, now, thresholds) - urgency(best, now, thresholds) ||
      (clock.dueAt as number) - (best.dueAt as number)
    return order < 0 || (order === 0 && clock.limit.name < best.limit.name) ? clock : best
  }, undefined)
}

function urgency(clock: Clock, now: number, thresholds: Thresholds): number {
  return OPEN_STANDINGS.indexOf(openStanding(turnsOf([clock], thresholds), now))
}
