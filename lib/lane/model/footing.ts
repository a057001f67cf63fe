import { type Counts, NEARLY_NOTHING } from './tally'

/** One hazard for many steps. */
export interface ConstantHazard {
  hazard: number
  variance: number
  /** Shipments that it rests on. */
  strength: number
}

/** What the pool as a whole says: one hazard of all its steps, and one of those that few were seen to reach. */
export interface Footing {
  /** The last step worked out, at least 0. */
  last: number
  overall: ConstantHazard
  /** The step from which on fewer than 10 shipments of the pool were at risk. */
  tailFrom: number
  tail: ConstantHazard
}

const FEW = 10

export function footingOf(pool: Counts): Footing {
  let tailFrom = pool.atRisk.length
  while (tailFrom > 0 && (pool.atRisk[tailFrom - 1] as number) < FEW - NEARLY_NOTHING) tailFrom -= 1
  return {
    last: pool.atRisk.length - 1,
    overall: constantFrom(pool, 0),
    tailFrom,
    tail: constantFrom(pool, tailFrom),
  }
}

/** (D + 1/2) / (N + 1) over the steps from `first` on: Jeffreys' prior, so neither 0 nor 0/0. */
function constantFrom({ arrived, atRisk }: Counts, first: number): ConstantHazard {
  let [arrivals, exposed] = [0, 0]
  for (let step = first; step < atRisk.length; step += 1) {
    arrivals += arrived[step] as number
    exposed += atRisk[step] as number
  }
  const hazard = (Math.min(arrivals, exposed) + 0.5) / (exposed + 1)
  return { hazard, variance: (hazard * (1 - hazard)) / (exposed + 2), strength: exposed + 1 }
}
