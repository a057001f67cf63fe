import type { Milestone } from '@/lib/hold/milestone'
import { HOUR } from '@/lib/hold/zone'

/** How long samples took from one milestone to the next that was reported, hours. */
export interface StageDuration {
  from: Milestone | 'issued'
  to: Milestone
  medianHours: number
  /** Nine of ten took no longer. */
  ninetiethHours: number
  count: number
}

/** The stages of a sample's way whose length is told: from one milestone to the next that people wait for. */
const STAGES: readonly [Milestone | 'issued', Milestone][] = [
  ['issued', 'collected'],
  ['collected', 'dispatched'],
  ['dispatched', 'received'],
  ['received', 'loaded'],
  ['loaded', 'reported'],
]

/**
 * How long each stage took, over the samples that completed it; one that nobody completed is left out. Instants in
 * ms UTC. A stage that went backwards in time (a wrong report) is left out.
 */
export function stageDurations(
  samples: readonly { issuedAt: number; milestones: readonly { milestone: Milestone; at: number }[] }[],
): StageDuration[] {
  return STAGES.flatMap(([from, to]) => {
    const hours = samples
      .map(({ issuedAt, milestones }) => {
        const at = (name: Milestone | 'issued') =>
          name === 'issued' ? issuedAt : milestones.find(({ milestone }) => milestone === name)?.at
        return ((at(to) ?? Number.NaN) - (at(from) ?? Number.NaN)) / HOUR
      })
      .filter((duration) => duration >= 0)
      .sort((a, b) => a - b)
    if (hours.length === 0) return []
    return [
      {
        from,
        to,
        medianHours: quantile(hours, 0.5),
        ninetiethHours: quantile(hours, 0.9),
        count: hours.length,
      },
    ]
  })
}

/** A quantile of ascending values, linear between them (Hyndman and Fan 1996, type 7). */
export function quantile(ascending: readonly number[], share: number): number {
  const position = (ascending.length - 1) * share
  const low = ascending[Math.floor(position)] as number
  const high = ascending[Math.ceil(position)] as number
  return low + (high - low) * (position - Math.floor(position))
}
