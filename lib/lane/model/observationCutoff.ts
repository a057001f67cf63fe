import type { Milestone } from '@/lib/hold/milestone'
import { DAY, getDayEnd, getDayStart, toLocalDay } from '@/lib/hold/zone'
import type { Journey } from './journey'
import type { OpenDays } from './openDays'
import { findReporter, type PlaceDays } from './reporter'

/** The quantile of reporting delays that is waited for. */
const DELAY_QUANTILE = 0.9
/** A reporter with fewer reports is topped up to this with those of all reporters. */
const MIN_REPORTS = 10
/** A longer delay, ms, means imported history and says nothing about how fast a desk reports. */
const LONGEST_DELAY = 30 * DAY

interface Reporting {
  /** Reporting delays, ms. */
  delays: number[]
  /** Local day of the latest known report. */
  latestDay: number
}

/** How long plants and laboratories take to report each milestone, as known at one time. */
export class ObservationCutoffs {
  readonly #own = new Map<string, Reporting>()
  readonly #all = new Map<Milestone, number[]>()
  readonly #longest = new Map<string, number | null>()
  readonly #cutoffs = new Map<string, ObservationCutoff>()

  constructor(journeys: readonly Journey[], placeDays: PlaceDays, knownAt: number) {
    for (const journey of journeys)
      for (const report of journey.reports) {
        if (report.knownAt > knownAt || report.at > knownAt) continue
        const { milestone } = report
        const place = findReporter(milestone, journey)
        const own = this.#getReporting(milestone, place)
        // A withdrawn report was wrong about the day, but not about when it was written.
        const delay = Math.max(0, report.knownAt - report.latestAt)
        if (delay <= LONGEST_DELAY) own.delays.push(delay)
        if (report.withdrawnAt !== null && report.withdrawnAt <= knownAt) continue
        const { zone } = placeDays.getDays(milestone, place).calendar
        own.latestDay = Math.max(own.latestDay, toLocalDay(report.at, zone))
      }
    for (const [key, { delays }] of this.#own) {
      delays.sort((a, b) => a - b)
      const milestone = key.slice(0, key.indexOf(' ')) as Milestone
      const all = this.#all.get(milestone)
      if (all) for (const delay of delays) all.push(delay)
      else this.#all.set(milestone, [...delays])
    }
    for (const delays of this.#all.values()) delays.sort((a, b) => a - b)
  }

  #getReporting(milestone: Milestone, place: string): Reporting {
    const key = `${milestone} ${place}`
    const known = this.#own.get(key)
    if (known) return known
    const reporting = { delays: [], latestDay: Number.NEGATIVE_INFINITY }
    this.#own.set(key, reporting)
    return reporting
  }

  /**
   * The 90th percentile of the delay, ms, of reports of `milestone` by `place`; with fewer than ten reports it
   * is topped up with those of all reporters. Null if there are none at all.
   */
  getDelay(milestone: Milestone, place: string): number | null {
    const key = `${milestone} ${place}`
    let delay = this.#longest.get(key)
    if (delay === undefined) {
      delay = computeDelayQuantile(this.#own.get(key)?.delays ?? [], this.#all.get(milestone) ?? [])
      this.#longest.set(key, delay)
    }
    return delay
  }

  /** `days` are those on which `place` works. */
  getCutoff(milestone: Milestone, place: string, days: OpenDays): ObservationCutoff {
    const key = `${milestone} ${place}`
    const known = this.#cutoffs.get(key)
    if (known) return known
    const latest = this.#own.get(key)?.latestDay ?? Number.NEGATIVE_INFINITY
    const settledAt = Number.isFinite(latest) ? getDayStart(latest, days.calendar.zone) - 1 : latest
    const cutoff = new ObservationCutoff(this.getDelay(milestone, place), settledAt, days)
    this.#cutoffs.set(key, cutoff)
    return cutoff
  }
}

/** The time up to which the silence of a reporter means that a milestone has not happened. */
export class ObservationCutoff {
  readonly #settledAt: number
  readonly #days: OpenDays

  constructor(
    /** The 90th percentile of its reporting delays, ms; null if nobody ever reported. */
    readonly delay: number | null,
    /** The end of the day before its latest report, ms UTC. */
    settledAt: number,
    days: OpenDays,
  ) {
    this.#settledAt = settledAt
    this.#days = days
  }

  /**
   * The instant (ms UTC) up to which an event, had it happened, would be known at `now`. A day counts once it
   * is over and the delay has passed since; of a day that is not over, the part that lies that far back. A
   * report of a later day settles all days before it. If nobody ever reported, a day counts after one more open
   * day.
   */
  at(now: number): number {
    const byDelay = this.delay === null ? findSecondLastOpenDayEnd(now, this.#days) : now - this.delay
    return Math.min(now, Math.max(byDelay, this.#settledAt))
  }
}

/** The end of the second-last open day that is over. */
function findSecondLastOpenDayEnd(now: number, days: OpenDays): number {
  const { zone } = days.calendar
  const over = days.findLastOpen(toLocalDay(now, zone) - 1)
  return getDayEnd(days.findLastOpen(over - 1), zone)
}

/** The quantile of the own delays, topped up with all delays. Both ascend. */
function computeDelayQuantile(own: readonly number[], all: readonly number[]): number | null {
  if (all.length === 0) return null
  const borrowed = Math.max(0, MIN_REPORTS - own.length)
  if (borrowed === 0) return own[Math.ceil(DELAY_QUANTILE * own.length) - 1] as number
  const total = own.length + borrowed
  const each = borrowed / all.length
  let counted = 0
  for (let mine = 0, any = 0; ; ) {
    const isMine = mine < own.length && (any >= all.length || (own[mine] as number) <= (all[any] as number))
    const delay = isMine ? own[mine] : all[any]
    counted += isMine ? 1 : each
    if (isMine) mine += 1
    else any += 1
    if (counted >= DELAY_QUANTILE * total - 1e-9 || (mine >= own.length && any >= all.length))
      return delay as number
  }
}
