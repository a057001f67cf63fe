import { findNextPickupDay } from '@/lib/hold/pickup'
import { getWeekday } from '@/lib/hold/zone'
import type { Leg } from './leg'
import type { Places } from './places'
import { type StopDays, StopDaysSum } from './stopDays'
import type { TimesOfDay } from './timeOfDay'

/** A day on which the next leg's steps may begin to count, and its chance. */
export interface LegStart {
  day: number
  share: number
}

/** Turns the day on which a leg ended into the days from which the next one is counted. */
export type Handover = (day: number) => readonly LegStart[]

export const SAME_DAY: Handover = (day) => [{ day, share: 1 }]

/** Maximum number of partial distributions kept. */
const MAX_CACHED = 512

/** The hazard of the rest of a step after `observedShare` of its day has passed without the event. */
export function remainingHazard(hazard: number, observedShare: number): number {
  if (observedShare === 0) return hazard
  const left = 1 - hazard * observedShare
  return left > 0 ? (hazard * (1 - observedShare)) / left : 0
}

/**
 * The legs from one milestone to a stop. The distribution of the stop is convolved exactly over days and cached
 * by start day, because many samples share a start.
 */
export class Chain {
  readonly leg: Leg
  /** The chain after this leg; null if the leg ends at the stop. */
  readonly next: Chain | null
  readonly #handover: Handover
  /** A leg's influences depend on the due. */
  readonly #usesDue: boolean
  readonly #nextStarts = new Map<number, readonly LegStart[]>()
  readonly #stops = new Map<number | string, StopDays>()
  readonly #stopsLeft = new Map<string, StopDays>()

  constructor(leg: Leg, next: Chain | null, handover: Handover = SAME_DAY) {
    this.leg = leg
    this.next = next
    this.#handover = handover
    this.#usesDue = this.legs.some(({ influences }) => influences?.usesDue)
  }

  /** Its reporter reports the stop. */
  get lastLeg(): Leg {
    return this.next ? this.next.lastLeg : this.leg
  }

  get legs(): Leg[] {
    return [this.leg, ...(this.next?.legs ?? [])]
  }

  /** The days on which the next leg may begin to count if this one ends on `day`. */
  nextStartsAfter(day: number): readonly LegStart[] {
    let start = this.#nextStarts.get(day)
    if (!start) {
      start = this.#handover(day)
      this.#nextStarts.set(day, start)
    }
    return start
  }

  /** The distribution of the stop if this leg begins to count on `startDay`. */
  stopsFrom(startDay: number, dueDay: number | null): StopDays {
    const key = this.#usesDue ? `${startDay} ${dueDay}` : startDay
    const known = this.#stops.get(key)
    if (known) return known
    const stops = this.#computeStops(startDay, 0, 0, dueDay)
    this.#stops.set(key, stops)
    return stops
  }

  /**
   * The same if only the steps from `first` on are left, and `observedShare` of the first one's day has passed.
   */
  stopsLeft(startDay: number, first: number, observedShare: number, dueDay: number | null): StopDays {
    const key = `${startDay} ${first} ${observedShare} ${this.#usesDue ? dueDay : ''}`
    const known = this.#stopsLeft.get(key)
    if (known) return known
    const stops = this.#computeStops(startDay, first, observedShare, dueDay)
    // Partial distributions move with the time of day, so only recent ones are worth keeping.
    if (this.#stopsLeft.size >= MAX_CACHED) this.#stopsLeft.clear()
    this.#stopsLeft.set(key, stops)
    return stops
  }

  #computeStops(startDay: number, first: number, observedShare: number, dueDay: number | null): StopDays {
    const sum = new StopDaysSum()
    const days = this.leg.daysFrom(startDay)
    const hazards = this.leg.hazardsFrom(startDay, dueDay)
    let notYet = 1
    for (let step = first; step < days.length; step += 1) {
      const whole = hazards[step] as number
      const hazard = step === first ? remainingHazard(whole, observedShare) : whole
      this.#addStops(sum, days[step] as number, notYet * hazard, dueDay)
      notYet *= 1 - hazard
    }
    return sum.total()
  }

  /** Adds the days on which the stop may come if this leg ends on `day`, which has `chance`. */
  #addStops(sum: StopDaysSum, day: number, chance: number, dueDay: number | null): void {
    if (chance === 0) return
    if (!this.next) sum.addDay(day, chance)
    else
      for (const { day: start, share } of this.nextStartsAfter(day))
        sum.add(this.next.stopsFrom(start, dueDay), chance * share)
  }

  /**
   * The chance that the stop comes before `dueDay`, or on it with chance `dueShare`, if this leg ends on `day`.
   */
  chanceInTime(day: number, dueDay: number, dueShare: number, earliestDueDay: number | null): number {
    if (!this.next) return day < dueDay ? 1 : day === dueDay ? dueShare : 0
    let chance = 0
    for (const { day: start, share } of this.nextStartsAfter(day))
      chance += share * this.next.stopsFrom(start, earliestDueDay).chanceBy(dueDay, dueShare)
    return chance
  }
}

/**
 * Transit is counted from the next pickup day if a sample leaves after the pickup hour (by the plant's own
 * times of day) or on a day without a pickup.
 */
export function createPickupHandover(
  plant: string,
  service: string | null,
  places: Places,
  times: TimesOfDay,
): Handover {
  const pickups = places.pickups(plant, service)
  if (pickups === null) return SAME_DAY
  const handedOver = times.getTimes('dispatched', plant)
  return (day) => {
    const pickup = pickups[getWeekday(day)] ?? null
    if (pickup === null) return [{ day: findNextPickupDay(pickups, day), share: 1 }]
    const share = handedOver.shareByMinute(getWeekday(day), pickup)
    return [
      { day, share },
      { day: findNextPickupDay(pickups, day), share: 1 - share },
    ]
  }
}
