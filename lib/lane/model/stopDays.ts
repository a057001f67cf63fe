/** The chance of stopping on each day; the rest to 1 is never. Days are day numbers. */
export class StopDays {
  /** The day of the first chance. */
  readonly first: number
  readonly chances: Float64Array
  /** The chance of having stopped by the end of each day. */
  readonly cumulative: Float64Array

  constructor(first: number, chances: Float64Array) {
    this.first = first
    this.chances = chances
    this.cumulative = new Float64Array(chances.length)
    let sum = 0
    for (let index = 0; index < chances.length; index += 1) {
      sum += chances[index] as number
      this.cumulative[index] = sum
    }
  }

  /** The chance of stopping before `day`, plus `share` of the chance of stopping on it. */
  chanceBy(day: number, share: number): number {
    const index = day - this.first
    if (index < 0) return 0
    const last = this.cumulative.length - 1
    if (index > last) return last < 0 ? 0 : (this.cumulative[last] as number)
    return (index > 0 ? (this.cumulative[index - 1] as number) : 0) + share * (this.chances[index] as number)
  }
}

/** Room for this many days is allocated at once. */
const MIN_CAPACITY_DAYS = 128

/** Sums chances by day, added in any order. */
export class StopDaysSum {
  #first = 0
  #size = 0
  #chances = new Float64Array(0)

  /** Adds the chances of `days` times `share`. */
  add({ first, chances }: StopDays, share: number): void {
    if (chances.length === 0 || share === 0) return
    this.#reach(first, first + chances.length - 1)
    const sum = this.#chances
    const shift = first - this.#first
    for (let index = 0; index < chances.length; index += 1)
      sum[shift + index] = (sum[shift + index] as number) + share * (chances[index] as number)
  }

  addDay(day: number, chance: number): void {
    if (chance === 0) return
    this.#reach(day, day)
    const index = day - this.#first
    this.#chances[index] = (this.#chances[index] as number) + chance
  }

  total(): StopDays {
    return new StopDays(this.#first, this.#chances.slice(0, this.#size))
  }

  #reach(from: number, to: number): void {
    if (this.#size === 0) {
      this.#first = from
      this.#chances = new Float64Array(to - from + MIN_CAPACITY_DAYS)
    } else if (from < this.#first || to - this.#first >= this.#chances.length) {
      const first = Math.min(from, this.#first)
      const last = Math.max(to, this.#first + this.#size - 1)
      const chances = new Float64Array(last - first + MIN_CAPACITY_DAYS)
      chances.set(this.#chances.subarray(0, this.#size), this.#first - first)
      this.#size += this.#first - first
      this.#first = first
      this.#chances = chances
    }
    this.#size = Math.max(this.#size, to - this.#first + 1)
  }
}
