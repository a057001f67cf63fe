import { type Calendar, findOpenDay } from '@/lib/hold/calendar'

const BLOCK_DAYS = 256

/**
 * A calendar as steps: counts open days after a start. Calendar answers are cached in blocks, so that a step
 * costs two lookups.
 */
export class OpenDays {
  readonly calendar: Calendar
  /** By block: for each day, the number of open days in the block up to it. */
  readonly #blocks = new Map<number, Uint16Array>()
  readonly #after = new Map<number, Int32Array>()

  constructor(calendar: Calendar) {
    this.calendar = calendar
  }

  isOpen(day: number): boolean {
    const key = Math.floor(day / BLOCK_DAYS)
    const block = this.#block(key)
    const index = day - key * BLOCK_DAYS
    return index === 0 ? block[0] === 1 : (block[index] as number) > (block[index - 1] as number)
  }

  /** Open days after `start` and up to `day`; 0 if `day` is not after it. */
  countOpenDays(start: number, day: number): number {
    if (day <= start) return 0
    const [first, last] = [Math.floor(start / BLOCK_DAYS), Math.floor(day / BLOCK_DAYS)]
    let count = this.#block(last)[day - last * BLOCK_DAYS] as number
    for (let key = last - 1; key >= first; key -= 1) count += this.#block(key)[BLOCK_DAYS - 1] as number
    return count - (this.#block(first)[start - first * BLOCK_DAYS] as number)
  }

  /**
   * The step of an arrival on `day` from a start on `start`: 0 on the same day (or earlier, because zones
   * differ), else the number of open days after the start; a closed day counts as the next open one.
   */
  findStep(start: number, day: number): number {
    if (day <= start) return 0
    return this.countOpenDays(start, day) + (this.isOpen(day) ? 0 : 1)
  }

  /** The days of the steps from 0 (the start) to `last`. The list is cached: do not change it. */
  listStepDays(start: number, last: number): Int32Array {
    const known = this.#after.get(start)
    if (known && known.length > last) return known
    const days = new Int32Array(last + 1)
    days[0] = start
    for (let step = 1, day = start; step <= last; step += 1) {
      day = this.findNextOpen(day + 1)
      days[step] = day
    }
    this.#after.set(start, days)
    return days
  }

  /** `day` if it is open, else the next open day. */
  findNextOpen(day: number): number {
    return findOpenDay(day, 1, this)
  }

  /** `day` if it is open, else the last open day before it. */
  findLastOpen(day: number): number {
    return findOpenDay(day, -1, this)
  }

  #block(key: number): Uint16Array {
    const known = this.#blocks.get(key)
    if (known) return known
    const block = new Uint16Array(BLOCK_DAYS)
    let count = 0
    for (let index = 0; index < BLOCK_DAYS; index += 1) {
      if (this.calendar.isOpen(key * BLOCK_DAYS + index)) count += 1
      block[index] = count
    }
    this.#blocks.set(key, block)
    return block
  }
}
