import type { Milestone } from '@/lib/hold/milestone'
import { DAY, lastInstantOf, localDay, MINUTE, offsetAt, weekdayOf } from '@/lib/hold/zone'
import type { Journey, Known } from './journey'
import type { OpenMinutes } from './places'
import { isReportedByPlant, type PlaceDays, reporterOf } from './reporter'

/** How many observations the opening hours weigh against the times that were reported. */
const PULL = 20
const MINUTES = 1440
const WHOLE_DAY: OpenMinutes = [[0, MINUTES]]

/** The minute of the local day at `at` (ms UTC), 0 to 1440 (not included), with its fraction. */
export function minuteOf(at: number, zone: string): number {
  const local = at + offsetAt(at, zone)
  return (local - Math.floor(local / DAY) * DAY) / MINUTE
}

/** The times of day at which milestones were reported to happen, by who reports them. */
export class TimesOfDay {
  /** Weights up to each minute, summed. */
  readonly #own = new Map<string, Float64Array>()
  readonly #placeDays: PlaceDays

  /** From journeys with what was known of each; samples of one consignment count as one observation. */
  constructor(journeys: readonly { journey: Journey; known: Known; weight: number }[], placeDays: PlaceDays) {
    this.#placeDays = placeDays
    for (const { journey, known, weight } of journeys)
      for (const [milestone, { earliestAt, latestAt }] of known.milestones) {
        if (earliestAt !== latestAt) continue
        const place = reporterOf(milestone, journey)
        const { zone } = placeDays.of(milestone, place).calendar
        const key = `${milestone} ${place}`
        let counts = this.#own.get(key)
        if (!counts) {
          counts = new Float64Array(MINUTES)
          this.#own.set(key, counts)
        }
        const minute = Math.floor(minuteOf(latestAt, zone))
        counts[minute] = (counts[minute] as number) + weight
      }
    for (const counts of this.#own.values())
      for (let minute = 1; minute < MINUTES; minute += 1)
        counts[minute] = (counts[minute] as number) + (counts[minute - 1] as number)
  }

  /**
   * The chance that what happens on `day` (a day number of the reporter's zone) has happened by `at` (ms UTC): 0
   * before the day, 1 after it, and within it by the reporter's own past times of day, pulled toward its opening
   * hours of that weekday by the weight of 20 observations. A plant has no known hours: its whole day.
   */
  shareBy(milestone: Milestone, place: string, day: number, at: number): number {
    const { zone } = this.#placeDays.of(milestone, place).calendar
    const today = localDay(at, zone)
    if (today !== day) return today > day ? 1 : 0
    return this.shareByMinute(milestone, place, weekdayOf(day), minuteOf(at, zone))
  }

  /** The same of what is known to come after `after` (ms UTC). */
  shareAfter(milestone: Milestone, place: string, day: number, after: number, at: number): number {
    if (at <= after) return 0
    const by = this.shareBy(milestone, place, day, at)
    if (by === 0) return 0
    const gone = this.shareBy(milestone, place, day, after)
    if (gone < 1) return (by - gone) / (1 - gone)
    // Nothing was ever reported so late in a day, nor is it open: whatever still comes may come at any time left.
    const { zone } = this.#placeDays.of(milestone, place).calendar
    const left = lastInstantOf(day, zone) - after
    return left > 0 ? Math.min(1, (at - after) / left) : 1
  }

  /** The chance by the minute of a local day of that weekday (0, Sunday, to 6). */
  shareByMinute(milestone: Milestone, place: string, weekday: number, minute: number): number {
    const counts = this.#own.get(`${milestone} ${place}`)
    const hours = this.#hoursOf(milestone, place, weekday)
    const open = openShare(hours, minute)
    if (!counts) return open
    const whole = Math.floor(minute)
    const own = whole < 0 ? 0 : (counts[Math.min(whole, MINUTES - 1)] as number)
    return (own + PULL * open) / ((counts[MINUTES - 1] as number) + PULL)
  }

  /** The minute of the local day by which half of what was reported had happened; null where nothing was. */
  usualMinute(milestone: Milestone, place: string): number | null {
    const counts = this.#own.get(`${milestone} ${place}`)
    if (!counts) return null
    const half = (counts[MINUTES - 1] as number) / 2
    return counts.findIndex((count) => count >= half)
  }

  #hoursOf(milestone: Milestone, place: string, weekday: number): OpenMinutes {
    if (isReportedByPlant(milestone)) return WHOLE_DAY
    const hours = this.#placeDays.places.hours(place)[weekday] ?? []
    return hours.length > 0 ? hours : WHOLE_DAY
  }
}

/** The share of the open minutes that has passed by `minute`. */
function openShare(hours: OpenMinutes, minute: number): number {
  let [passed, all] = [0, 0]
  for (const [from, to] of hours) {
    all += to - from
    passed += Math.max(0, Math.min(minute, to) - from)
  }
  return passed / all
}
