import { getWeekday } from '@/lib/hold/zone'
import type { OpenDays } from './openDays'

/** What may raise or lower a hazard beyond its step. */
export const CANDIDATES = ['closed days bridged', 'weekday', 'open days left to due'] as const
export type Candidate = (typeof CANDIDATES)[number]

/** One step of one stage, on its day. Days are day numbers where the stage's end is reported. */
export interface InfluencedStep {
  place: string
  days: OpenDays
  step: number
  day: number
  /** The day of the step before; for step 0 its own. */
  dayBefore: number
  /** The day of the due of the clock that the stage's end stops; null if unknown. */
  dueDay: number | null
}

/** The stratum of a step by a candidate; null if the candidate does not apply. */
export function findStratum(
  candidate: Candidate,
  { place, days, step, day, dayBefore, dueDay }: InfluencedStep,
) {
  switch (candidate) {
    case 'closed days bridged':
      return step === 0 ? null : String(Math.min(3, day - dayBefore - 1))
    case 'weekday':
      return `${place} ${getWeekday(day)}`
    case 'open days left to due':
      if (dueDay === null) return null
      return day > dueDay ? 'past' : String(Math.min(5, days.countOpenDays(day, dueDay)))
  }
}

/** The multiplier m of each stratum of a candidate: a hazard h becomes 1 - (1 - h)^m. */
export interface Multipliers {
  candidate: Candidate
  byStratum: ReadonlyMap<string, number>
}

/** The influences in use for a stage. */
export class Influences {
  readonly usesDue: boolean
  readonly #used: readonly Multipliers[]

  constructor(used: readonly Multipliers[]) {
    this.#used = used
    this.usesDue = used.some(({ candidate }) => candidate === 'open days left to due')
  }

  getMultiplier(step: InfluencedStep): number {
    let multiplier = 1
    for (const { candidate, byStratum } of this.#used) {
      const stratum = findStratum(candidate, step)
      if (stratum !== null) multiplier *= byStratum.get(stratum) ?? 1
    }
    return multiplier
  }
}

/** Raises the chance of staying to a power, as if there were `multiplier` independent chances to arrive. */
export function applyMultiplier(hazard: number, multiplier: number): number {
  return multiplier === 1 ? hazard : 1 - (1 - hazard) ** multiplier
}
