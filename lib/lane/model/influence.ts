import { getWeekday } from '@/lib/hold/zone'
import type { OpenDays } from './openDays'

/** What may make a step likelier or less likely than its count alone says. */
export const CANDIDATES = ['closed days bridged', 'weekday', 'open days left to due'] as const
export type Candidate = (typeof CANDIDATES)[number]

/** One step of one stage, on its day. Days are day numbers of whoever reports the stage's end. */
export interface InfluencedStep {
  place: string
  days: OpenDays
  step: number
  day: number
  /** The day of the step before; its own for step 0. */
  dayBefore: number
  /** The day of the due that the stage's end is waited for; null where none is known. */
  dueDay: number | null
}

/** The stratum of a step by a candidate; null where the candidate says nothing of it. */
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

/** By how much each stratum of a candidate multiplies the hazards: 1 - (1 - h)^m. */
export interface Multipliers {
  candidate: Candidate
  byStratum: ReadonlyMap<string, number>
}

/** The influences that have earned their place in a stage. */
export class Influences {
  readonly usesDue: boolean
  readonly #used: readonly Multipliers[]

  constructor(used: readonly Multipliers[]) {
    this.#used = used
    this.usesDue = used.some(({ candidate }) => candidate === 'open days left to due')
  }

  /** The multiplier of a step's hazard. */
  getMultiplier(step: InfluencedStep): number {
    let multiplier = 1
    for (const { candidate, byStratum } of this.#used) {
      const stratum = findStratum(candidate, step)
      if (stratum !== null) multiplier *= byStratum.get(stratum) ?? 1
    }
    return multiplier
  }
}

/** A hazard whose odds of staying are taken to a power: the same as so many chances to come instead of one. */
export function applyMultiplier(hazard: number, multiplier: number): number {
  return multiplier === 1 ? hazard : 1 - (1 - hazard) ** multiplier
}
