/** Counts of one group by step, in shipments. */
export interface Counts {
  arrived: number[]
  atRisk: number[]
}

/** Below this many shipments, a count is a rounding error. */
export const EPSILON = 1e-9

/**
 * Additive counts of one group. It stores what ended at each step, by arrival or by censoring, so that adding a
 * shipment is one addition; the number at risk is summed on demand. A shipment censored at the step of an
 * arrival was still at risk in it.
 *
 * Plain arrays: short typed arrays cost V8 an allocation outside its heap each.
 */
export class StepCounter {
  readonly #arrived: number[] = []
  readonly #ended: number[] = []
  #never = 0
  #totalArrived = 0
  #total = 0
  #unfaded = 0

  /**
   * Adds `amount` shipments that end at `steps` (Infinity: never), of unfaded weight `unfaded`; negative
   * amounts remove them.
   */
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

  /** Multiplies the faded counts by `factor`. */
  scale(factor: number): void {
    for (let step = 0; step < this.#ended.length; step += 1) {
      this.#arrived[step] = (this.#arrived[step] as number) * factor
      this.#ended[step] = (this.#ended[step] as number) * factor
    }
    this.#never *= factor
    this.#totalArrived *= factor
    this.#total *= factor
  }

  /** In the unit of the amounts added. */
  get total(): number {
    return this.#total
  }

  get totalArrived(): number {
    return this.#totalArrived
  }

  /** The shipments added, unweighted by age. */
  get unfaded(): number {
    return this.#unfaded
  }

  /** The last step with a count above EPSILON after multiplication by `factor`; -1 if there is none. */
  lastStep(factor: number): number {
    let step = this.#ended.length - 1
    while (step >= 0 && (this.#ended[step] as number) * factor <= EPSILON) step -= 1
    return step
  }

  /** The last step with an arrival; -1 if there is none. */
  lastArrival(): number {
    let step = this.#arrived.length - 1
    while (step >= 0 && (this.#arrived[step] as number) <= 0) step -= 1
    return step
  }

  /**
   * Arrivals and number at risk at the steps 0 to `last`, times `factor`. Shipments that never arrive are at
   * risk at every step.
   */
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

/** `counts` without `part`, which it contains; rounding errors become 0. */
export function subtractCounts(counts: Counts, part: Counts): Counts {
  const atRisk = counts.atRisk.map((all, step) => subtractCount(all, part.atRisk[step] as number))
  const arrived = counts.arrived.map((all, step) =>
    Math.min(atRisk[step] as number, subtractCount(all, part.arrived[step] as number)),
  )
  return { arrived, atRisk }
}

export function subtractCount(all: number, part: number): number {
  const left = all - part
  return left > EPSILON ? left : 0
}
