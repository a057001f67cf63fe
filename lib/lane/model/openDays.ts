import { type Calendar, openDayFrom } from '@/lib/hold/calendar'
import { DAY, instantsOf, localDay, MINUTE, weekdayOf } from '@/lib/hold/zone'
import type { OpenMinutes } from './places'

const BLOCK = 256

/**
 * A calendar as steps: which open day after a start a day is. What the calendar says is asked once for each day and
 * kept, so that a step costs two look-ups.
 */
export class OpenDays {
  readonly calendar: Calendar
  /** For each block of days, how many of its days up to each one are open. */
  readonly #blocks = new Map<number, Uint16Array>()
  readonly #after = new Map<number, Int32Array>()

  constructor(calendar: Calendar) {
    this.calendar = calendar
  }

  isOpen(day: number): boolean {
    const key = Math.floor(day / BLOCK)
    const block = this.#block(key)
    const index = day - key * BLOCK
    return index === 0 ? block[0] === 1 : (block[index] as number) > (block[index - 1] as number)
  }

  /** How many days after `start` and up to `day` are open; 0 where `day` is not after it. */
  openBetween(start: number, day: number): number {
    if (day <= start) return 0
    const [first, last] = [Math.floor(start / BLOCK), Math.floor(day / BLOCK)]
    let count = this.#block(last)[day - last * BLOCK] as number
    for (let key = last - 1; key >= first; key -= 1) count += this.#block(key)[BLOCK - 1] as number
    return count - (this.#block(first)[start - first * BLOCK] as number)
  }

  /**
   * The step of an arrival on `day` from a start on `start`: 0 on the same day (or before it, as another zone may
   * have it), else the count of open days after the start, a closed day counting as the next open one.
   */
  stepOf(start: number, day: number): number {
    if (day <= start) return 0
    return this.openBetween(start, day) + (this.isOpen(day) ? 0 : 1)
  }

  /** The days of the steps from 0, the start itself, to `last`. The list is kept: do not change it. */
  daysOfSteps(start: number, last: number): Int32Array {
    const known = this.#after.get(start)
    if (known && known.length > last) return known
    const days = new Int32Array(last + 1)
    days[0] = start
    for (let step = 1, day = start; step <= last; step += 1) {
      day = this.nextOpen(day + 1)
      days[step] = day
    }
    this.#after.set(start, days)
    return days
  }

  /** `day` if it is open, else the next day that is. */
  nextOpen(day: number): number {
    return openDayFrom(day, 1, this)
  }

  /** The last open day that is not after `day`. */
  lastOpen(day: number): number {
    return openDayFrom(day, -1, this)
  }

  #block(key: number): Uint16Array {
    const known = this.#blocks.get(key)
    if (known) return known
    const block = new Uint16Array(BLOCK)
    let count = 0
    for (let index = 0; index < BLOCK; index += 1) {
      if (this.calendar.isOpen(key * BLOCK + index)) count += 1
      block[index] = count
    }
    this.#blocks.set(key, block)
    return block
  }
}

/** How many days back receiving hours are looked for. */
const FURTHEST_BACK = 366

/**
 * The last instant (ms UTC) up to `at` that lies in receiving hours or ends them; hours by weekday, in the days' zone.
 * -Infinity where there were none for a year.
 */
export function lastOpenBefore(at: number, hours: readonly OpenMinutes[], days: OpenDays): number {
  const { zone } = days.calendar
  const today = localDay(at, zone)
  for (let day = today; day > today - FURTHEST_BACK; day -= 1) {
    if (!days.isOpen(day)) continue
    const open = hours[weekdayOf(day)] ?? []
    for (let index = open.length - 1; index >= 0; index -= 1) {
      const [from, to] = open[index] as readonly [number, number]
      if (instantAt(day, from, zone) < at) return Math.min(at, instantAt(day, to, zone))
    }
  }
  return Number.NEGATIVE_INFINITY
}

/** The instant at which a local day reaches a minute; the first where the clocks pass it twice or skip it. */
export function instantAt(day: number, minute: number, zone: string): number {
  return instantsOf(day * DAY + minute * MINUTE, zone).instants[0] as number
}
