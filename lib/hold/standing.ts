import { type Clock, getClockState } from './clock'

export const OPEN_STANDINGS = ['lapsed', 'at risk', 'tight', 'sound'] as const
export type OpenStanding = (typeof OPEN_STANDINGS)[number]
export const SETTLED_STANDINGS = ['lapsed', 'ended', 'unproven', 'kept'] as const
export type SettledStanding = (typeof SETTLED_STANDINGS)[number]
export type Standing = OpenStanding | SettledStanding

/** The chances of missing its due (0 to 1) from which a clock is tight or at risk. */
export interface Thresholds {
  tight: number
  atRisk: number
}

/** Protocols without thresholds use these. */
export const DEFAULT_THRESHOLDS: Thresholds = { tight: 0.05, atRisk: 0.2 }

/** Without a forecast the share of a clock's time that is used (0 to 1) decides. */
export const TIME_SHARES = { tight: 0.6, atRisk: 0.85 } as const

/**
 * The instants (ms UTC) at which an open sample's standing gets worse if nothing is reported; null if it never does. They
 * hold until the next event, so a standing at any `now` is a comparison with them.
 */
export interface StandingTimes {
  tightAt: number | null
  atRiskAt: number | null
  /** The first due of the clocks that bind. */
  dueAt: number | null
  /** A clock stopped after its due: the sample is lapsed at any time. */
  hasLapsed: boolean
}

/** Whether a clock can be the one that binds its sample: it has started and waits for its stop. */
export function canBind(clock: Clock): boolean {
  return clock.startedAt !== null && clock.stoppedAt === null && !clock.isEnded && !clock.isNotReported
}

/** When the standing of an open sample gets worse by the share of its clocks' time that is used. */
export function computeStandingTimes(clocks: readonly Clock[]): StandingTimes {
  const times: StandingTimes = { tightAt: null, atRiskAt: null, dueAt: null, hasLapsed: false }
  for (const clock of clocks) {
    if (getClockState(clock, Number.NEGATIVE_INFINITY) === 'lapsed') times.hasLapsed = true
    if (!canBind(clock)) continue
    times.tightAt = findEarlier(times.tightAt, computeTimeAtShare(clock, TIME_SHARES.tight))
    times.atRiskAt = findEarlier(times.atRiskAt, computeTimeAtShare(clock, TIME_SHARES.atRisk))
    times.dueAt = findEarlier(times.dueAt, clock.dueAt as number)
  }
  return times
}

/** When `share` of a started clock's time is used, ms UTC, rounded up. */
function computeTimeAtShare(clock: Clock, share: number): number {
  const [start, due] = [clock.startedAt as number, clock.dueAt as number]
  return Math.ceil(start + (due - start) * share)
}

function findEarlier(a: number | null, b: number): number {
  return a === null || b < a ? b : a
}

/** The standing of an open sample at `now` (ms UTC). */
export function getOpenStanding(times: StandingTimes, now: number): OpenStanding {
  if (times.hasLapsed || (times.dueAt !== null && now > times.dueAt)) return 'lapsed'
  if (times.atRiskAt !== null && now >= times.atRiskAt) return 'at risk'
  if (times.tightAt !== null && now >= times.tightAt) return 'tight'
  return 'sound'
}

/**
 * The standing of a settled sample, which no longer depends on time. Kept means proven: by a limit at least, and by every
 * clock. An early one, or one whose start or stop was not reported, proves nothing, and nothing is proved while it is in question.
 */
export function getSettledStanding(
  clocks: readonly Clock[],
  isEnded: boolean,
  isInQuestion: boolean,
): SettledStanding {
  const states = clocks.map((clock) => getClockState(clock, Number.POSITIVE_INFINITY))
  if (states.includes('lapsed')) return 'lapsed'
  if (isEnded) return 'ended'
  const isProven = states.length > 0 && states.every((state) => state === 'kept')
  return isProven && !isInQuestion ? 'kept' : 'unproven'
}

/**
 * The clock that binds an open sample at `now`: the running or overrun one that is likeliest to be missed, then the first
 * due, then the first by name. `risks` has the chances by the limit's name. A clock without a chance gets the threshold of
 * its standing by the time used; an overrun one is missed. Undefined if none runs.
 */
export function findBindingClock(
  clocks: readonly Clock[],
  now: number,
  risks: ReadonlyMap<string, number> = new Map(),
): Clock | undefined {
  return clocks.filter(canBind).reduce<Clock | undefined>((best, clock) => {
    if (!best) return clock
    const order =
      estimateMissChance(best, now, risks) - estimateMissChance(clock, now, risks) ||
      (clock.dueAt as number) - (best.dueAt as number)
    return order < 0 || (order === 0 && clock.limit.name < best.limit.name) ? clock : best
  }, undefined)
}

const DEFAULT_CHANCES: Record<OpenStanding, number> = {
  lapsed: 1,
  'at risk': DEFAULT_THRESHOLDS.atRisk,
  tight: DEFAULT_THRESHOLDS.tight,
  sound: 0,
}

/** Rounded to a thousandth: chances that are closer cannot be told apart. */
function estimateMissChance(clock: Clock, now: number, risks: ReadonlyMap<string, number>): number {
  if (getClockState(clock, now) === 'overrun') return 1
  const risk =
    risks.get(clock.limit.name) ?? DEFAULT_CHANCES[getOpenStanding(computeStandingTimes([clock]), now)]
  return Math.round(risk * 1_000) / 1_000
}
