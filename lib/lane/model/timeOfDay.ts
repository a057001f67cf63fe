import type { Milestone } from '@/lib/hold/milestone'
import type { OpenMinutes } from '@/lib/hold/openHours'
import { getDayEnd, getMinuteOfDay, getWeekday, toLocalDay } from '@/lib/hold/zone'
import type { Journey, Known } from './journey'
import { findReporter, isReportedByPlant, type PlaceDays } from './reporter'

/** Weight of the opening hours against reported times, in observations. */
const PRIOR_WEIGHT = 20
const MINUTES = 1440
const WHOLE_DAY: OpenMinutes = [[0, MINUTES]]

/** Times of day at which milestones happen, by the place that reports them. */
export class TimesOfDay {
  /** Cumulative weights by minute. */
  readonly #own = new Map<string, Float64Array>()
  readonly #places = new Map<string, PlaceTimes>()
  readonly #placeDays: PlaceDays

  /** The samples of one consignment count as one observation. */
  constructor(journeys: readonly { journey: Journey; known: Known; weight: number }[], placeDays: PlaceDays) {
    this.#placeDays = placeDays
    for (const { journey, known, weight } of journeys)
      for (const [milestone, { earliestAt, latestAt }] of known.milestones) {
        if (earliestAt !== latestAt) continue
        const place = findReporter(milestone, journey)
        const { zone } = placeDays.getDays(milestone, place).calendar
        const key = `${milestone} ${place}`
        let counts = this.#own.get(key)
        if (!counts) {
          counts = new Float64Array(MINUTES)
          this.#own.set(key, counts)
        }
        const minute = Math.floor(getMinuteOfDay(latestAt, zone))
        counts[minute] = (counts[minute] as number) + weight
      }
    for (const counts of this.#own.values())
      for (let minute = 1; minute < MINUTES; minute += 1)
        counts[minute] = (counts[minute] as number) + (counts[minute - 1] as number)
  }

  getTimes(milestone: Milestone, place: string): PlaceTimes {
    const key = `${milestone} ${place}`
    const known = this.#places.get(key)
    if (known) return known
    const { places } = this.#placeDays
    const { zone } = this.#placeDays.getDays(milestone, place).calendar
    const hours = isReportedByPlant(milestone) ? [] : places.hours(place)
    const times = new PlaceTimes(this.#own.get(key) ?? null, zone, hours)
    this.#places.set(key, times)
    return times
  }
}

/** The times of day of one milestone at one place. */
export class PlaceTimes {
  readonly #counts: Float64Array | null
  readonly #zone: string
  readonly #hours: readonly OpenMinutes[]

  /**
   * `counts` are cumulative by minute, null if no time was reported; `hours` are by weekday, and without any
   * the whole day counts.
   */
  constructor(counts: Float64Array | null, zone: string, hours: readonly OpenMinutes[]) {
    this.#counts = counts
    this.#zone = zone
    this.#hours = hours
  }

  /**
   * The chance that an event on `day` (day number in the reporter's zone) has happened by `at` (ms UTC): 0
   * before the day, 1 after it. Within the day it follows the reporter's past times of day, shrunk to its
   * opening hours with the weight of 20 observations. A plant's hours are unknown, so its whole day counts.
   */
  shareBy(day: number, at: number): number {
    const today = toLocalDay(at, this.#zone)
    if (today !== day) return today > day ? 1 : 0
    return this.shareByMinute(getWeekday(day), getMinuteOfDay(at, this.#zone))
  }

  /** The same, given that the event comes after `after` (ms UTC). */
  shareAfter(day: number, after: number, at: number): number {
    if (at <= after) return 0
    const by = this.shareBy(day, at)
    if (by === 0) return 0
    const gone = this.shareBy(day, after)
    if (gone < 1) return (by - gone) / (1 - gone)
    // Nothing was ever reported this late in a day, and the place is closed: any time left is equally likely.
    const left = getDayEnd(day, this.#zone) - after
    return left > 0 ? Math.min(1, (at - after) / left) : 1
  }

  /** The chance by a minute of the local day on a weekday (0, Sunday, to 6). */
  shareByMinute(weekday: number, minute: number): number {
    const hours = this.#hours[weekday]
    const open = computeOpenShare(hours && hours.length > 0 ? hours : WHOLE_DAY, minute)
    if (!this.#counts) return open
    const own = this.#counts[Math.min(Math.floor(minute), MINUTES - 1)] as number
    return (own + PRIOR_WEIGHT * open) / ((this.#counts[MINUTES - 1] as number) + PRIOR_WEIGHT)
  }

  /** The median minute of the local day of what was reported; null if nothing was. */
  get usualMinute(): number | null {
    if (!this.#counts) return null
    const half = (this.#counts[MINUTES - 1] as number) / 2
    return this.#counts.findIndex((count) => count >= half)
  }
}

/** The share of the open minutes that has passed by `minute`. */
function computeOpenShare(hours: OpenMinutes, minute: number): number {
  let [passed, all] = [0, 0]
  for (const [from, to] of hours) {
    all += to - from
    passed += Math.max(0, Math.min(minute, to) - from)
  }
  return passed / all
}
