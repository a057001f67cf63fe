import { DAY } from '@/lib/hold/zone'
import type { Group, GroupHierarchy } from './groupHierarchy'
import type { Observation } from './observation'
import { type Counts, EPSILON, StepCounter } from './stepCounter'

/** After this many halvings from the origin, all counts are moved to a new origin. */
const MAX_HALVINGS = 200

/**
 * The counts of every group, weighted by age at a reference date: a shipment that began one half-life earlier
 * counts half. They are stored relative to an origin, so that moving the reference date changes none of them.
 */
export class FadingCounts {
  readonly #counters: StepCounter[] = []
  readonly #halfLife: number | null
  #originAt: number
  #referenceAt: number

  /** `referenceAt` in ms UTC; `halfLifeDays` of 86,400 s, null for no fading. */
  constructor(referenceAt: number, halfLifeDays: number | null) {
    this.#originAt = referenceAt
    this.#referenceAt = referenceAt
    this.#halfLife = halfLifeDays === null ? null : halfLifeDays * DAY
  }

  moveTo(referenceAt: number): void {
    this.#referenceAt = referenceAt
  }

  /** Adds an observation to its group and to all wider ones; `sign` -1 removes it. */
  add(observation: Observation, innermost: Group, sign: 1 | -1 = 1): void {
    for (let group: Group | null = innermost; group; group = group.wider)
      this.#addTo(group, observation, sign)
  }

  /** Adds observations to their own groups first, and then each group to the wider one. */
  addAll(observations: Iterable<Observation>, hierarchy: GroupHierarchy): void {
    for (const observation of observations)
      this.#addTo(hierarchy.findOrAdd(observation.levels), observation, 1)
    // A group is created after the wider one, so in reverse order each is complete before it is added there.
    for (const group of hierarchy.groups.toReversed())
      if (group.wider) this.#getCounter(group.wider).addAll(this.#getCounter(group))
  }

  #addTo(group: Group, { startedAt, steps, hasArrived, weight }: Observation, sign: 1 | -1): void {
    if (steps < 0) return
    const unfaded = sign * weight
    const amount = this.#halfLife === null ? unfaded : unfaded * this.#fade(startedAt, this.#halfLife)
    this.#getCounter(group).add(steps, hasArrived, amount, unfaded)
  }

  /**
   * The counts of a group at each step from 0 to `last`; whole numbers if nothing fades and each consignment is
   * whole.
   */
  getCounts(group: Group, last: number): Counts {
    const counts = this.#getCounter(group).counts(last, this.#factor)
    if (this.#halfLife !== null) return counts
    for (let step = 0; step <= last; step += 1) {
      counts.arrived[step] = roundIfWhole(counts.arrived[step] as number)
      counts.atRisk[step] = roundIfWhole(counts.atRisk[step] as number)
    }
    return counts
  }

  /** Totals of a group: arrivals and shipments weighted by age, and shipments unweighted. */
  getTotals(group: Group): { arrivals: number; shipments: number; unfaded: number } {
    const { totalArrived, total, unfaded } = this.#getCounter(group)
    if (this.#halfLife === null)
      return {
        arrivals: roundIfWhole(totalArrived),
        shipments: roundIfWhole(total),
        unfaded: roundIfWhole(unfaded),
      }
    return {
      arrivals: totalArrived * this.#factor,
      shipments: total * this.#factor,
      unfaded: roundIfWhole(unfaded),
    }
  }

  /** The last step with a count above rounding error in a group; -1 if there is none. */
  lastStep(group: Group): number {
    return this.#getCounter(group).lastStep(this.#factor)
  }

  get #factor(): number {
    return this.#halfLife === null ? 1 : 2 ** ((this.#originAt - this.#referenceAt) / this.#halfLife)
  }

  #getCounter({ id }: Group): StepCounter {
    while (this.#counters.length <= id) this.#counters.push(new StepCounter())
    return this.#counters[id] as StepCounter
  }

  #fade(startedAt: number, halfLife: number): number {
    const halvings = (startedAt - this.#originAt) / halfLife
    if (halvings <= MAX_HALVINGS) return 2 ** halvings
    for (const counter of this.#counters) counter.scale(2 ** -halvings)
    this.#originAt = startedAt
    return 1
  }
}

/** Removes the rounding error of a consignment whose parts sum to it. */
function roundIfWhole(count: number): number {
  const rounded = Math.round(count)
  return Math.abs(count - rounded) < EPSILON ? rounded : count
}
