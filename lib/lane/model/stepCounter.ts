/** Counts of one group by step, as shipments (whole ones where nothing fades and each travels alone). */
export interface Counts {
  arrived: number[]
  atRisk: number[]
}

/** Below this many shipments a count is what rounding left of none. */
export const EPSILON = 1e-9

/**
 * The additive record of one group. What is kept per step is what ended there, by arrival or by being seen no further,
 * so that one shipment is one addition; who was at risk is summed when it is asked. One seen no further than the step
 * of an arrival was still at risk in it.
 *
 * Plain arrays: short typed ones cost V8 an allocation outside its heap each.
 */
export class StepCounter {
  readonly #arrived: number[] = []
  readonly #ended: number[] = []
  #never = 0
  #totalArrived = 0
  #total = 0
  #unfaded = 0

  /** Counts `amount` shipments ending at `steps` (Infinity: never), of full weight `unfaded`; both negative take them out. */
  add(steps: number, hasArrived: boolean, amount: number, unfaded: number): void {
    this.#total += amount
    this.#unfaded += unfaded
    if (steps === Number.POSITIVE_INFINITY) {
      this.#never += amount
      return
    }
    while (this.#ended.length <= steps) {
      this.#ended.push(0)
      this.#arrived.push(0)
    }
    this.#ended[steps] = (this.#ended[steps] as number) + amount
    if (!hasArrived) return
    this.#arrived[steps] = (this.#arrived[steps] as number) + amount
    this.#totalArrived += amount
  }

  /** Counts all that another has counted. */
  addAll(other: StepCounter): void {
    while (this.#ended.length < other.#ended.length) {
      this.#ended.push(0)
      this.#arrived.push(0)
    }
    for (let step = 0; step < other.#ended.length; step += 1) {
      this.#ended[step] = (this.#ended[step] as number) + (other.#ended[step] as number)
      this.#arrived[step] = (this.#arrived[step] as number) + (other.#arrived[step] as number)
    }
    this.#never += other.#never
    this.#totalArrived += other.#totalArrived
    this.#total += other.#total
    this.#unfaded += other.#unfaded
  }

  /** Multiplies all that fades by `factor`. */
  scale(factor: number): void {
    for (let step = 0; step < this.#ended.length; step += 1) {
      this.#arrived[step] = (this.#arrived[step] as number) * factor
      this.#ended[step] = (this.#ended[step] as number) * factor
    }
    this.#never *= factor
    this.#totalArrived *= factor
    this.#total *= factor
  }

  /** All shipments counted, in the unit they were added in. */
  get inAll(): number {
    return this.#total
  }

  get arrivedInAll(): number {
    return this.#totalArrived
  }

  /** All shipments counted, each in full however old. */
  get unfaded(): number {
    return this.#unfaded
  }

  /** The last step at which anything to speak of ended, counts being times `factor`; -1 where nothing did. */
  lastStep(factor: number): number {
    let step = this.#ended.length - 1
    while (step >= 0 && (this.#ended[step] as number) * factor <= EPSILON) step -= 1
    return step
  }

  /** The last step at which anything arrived, -1 where nothing did. */
  lastArrival(): number {
    let step = this.#arrived.length - 1
    while (step >= 0 && (this.#arrived[step] as number) <= 0) step -= 1
    return step
  }

  /** Arrivals and shipments at risk at the steps 0 to `last`, each times `factor`; those that never arrive are at risk at all. */
  counts(last: number, factor: number): Counts {
    const arrived = Array<number>(last + 1).fill(0)
    const atRisk = Array<number>(last + 1).fill(this.#never * factor)
    let left = this.#never
    for (let step = this.#ended.length - 1; step >= 0; step -= 1) {
      left += this.#ended[step] as number
      if (step > last) continue
      arrived[step] = (this.#arrived[step] as number) * factor
      atRisk[step] = left * factor
    }
    return { arrived, atRisk }
  }
}

/** `counts` without those of `part`, which they contain. What rounding leaves of nothing is nothing. */
export function subtractCounts(counts: Counts, part: Counts): Counts {
  const atRisk = counts.atRisk.map((all, step) => subtractCount(all, part.atRisk[step] as number))
  const arrived = counts.arrived.map((all, step) =>
    Math.min(atRisk[step] as number, subtractCount(all, part.arrived[step] as number)),
  )
  return { arrived, atRisk }
}

/** `all` without `part`. */
export function subtractCount(all: number, part: number): number {
  const left = all - part
  return left > EPSILON ? left : 0
}
