import { DAY } from '@/lib/hold/zone'
import type { Group, GroupHierarchy } from './groupHierarchy'
import type { Observation } from './observation'
import { type Counts, EPSILON, StepCounter } from './stepCounter'

/** Further than this many halvings from the origin all counts are brought to a new one. */
const MAX_HALVINGS = 200

/**
 * The counts of every group as they weigh at a reference date: a shipment that began one half-life before it counts
 * half. They are kept as they weigh at an origin, so that moving the date touches none of them.
 */
export class FadingCounts {
  readonly #counters: StepCounter[] = []
  readonly #halfLife: number | null
  #originAt: number
  #referenceAt: number

  /** `referenceAt` in ms UTC; `halfLifeDays` of 86,400 s, null where nothing fades. */
  constructor(referenceAt: number, halfLifeDays: number | null) {
    this.#originAt = referenceAt
    this.#referenceAt = referenceAt
    this.#halfLife = halfLifeDays === null ? null : halfLifeDays * DAY
  }

  moveTo(referenceAt: number): void {
    this.#referenceAt = referenceAt
  }

  /** Counts an observation in its group and in all wider ones; `sign` -1 takes it out again. */
  add(observation: Observation, innermost: Group, sign: 1 | -1 = 1): void {
    for (let group: Group | null = innermost; group; group = group.wider)
      this.#addTo(group, observation, sign)
  }

  /** Counts the first observations of all, each in its own group, and then each group in the wider one. */
  addAll(observations: Iterable<Observation>, hierarchy: GroupHierarchy): void {
    for (const observation of observations)
      this.#addTo(hierarchy.findOrAdd(observation.levels), observation, 1)
    // A group is entered after the one around it, so backwards each is whole before it is counted there.
    for (const group of hierarchy.groups.toReversed())
      if (group.wider) this.#getCounter(group.wider).addAll(this.#getCounter(group))
  }

  #addTo(group: Group, { startedAt, steps, hasArrived, weight }: Observation, sign: 1 | -1): void {
    if (steps < 0) return
    const unfaded = sign * weight
    const amount = this.#halfLife === null ? unfaded : unfaded * this.#fade(startedAt, this.#halfLife)
    this.#getCounter(group).add(steps, hasArrived, amount, unfaded)
  }

  /** What a group has at each step from 0 to `last`; whole numbers where nothing fades and each consignment is whole. */
  getCounts(group: Group, last: number): Counts {
    const counts = this.#getCounter(group).counts(last, this.#factor)
    if (this.#halfLife !== null) return counts
    for (let step = 0; step <= last; step += 1) {
      counts.arrived[step] = roundIfWhole(counts.arrived[step] as number)
      counts.atRisk[step] = roundIfWhole(counts.atRisk[step] as number)
    }
    return counts
  }

  /** What a group has in all: arrivals and shipments as they weigh now, and the shipments each in full. */
  getTotals(group: Group): { arrivals: number; shipments: number; unfaded: number } {
    const { arrivedInAll, inAll, unfaded } = this.#getCounter(group)
    if (this.#halfLife === null)
      return {
        arrivals: roundIfWhole(arrivedInAll),
        shipments: roundIfWhole(inAll),
        unfaded: roundIfWhole(unfaded),
      }
    return {
      arrivals: arrivedInAll * this.#factor,
      shipments: inAll * this.#factor,
      unfaded: roundIfWhole(unfaded),
    }
  }

  /** The last step at which anything to speak of ended in a group, -1 where nothing did. */
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

/** The parts of a consignment add up to it but for rounding, which this takes away. */
function roundIfWhole(count: number): number {
  const rounded = Math.round(count)
  return Math.abs(count - rounded) < EPSILON ? rounded : count
}
