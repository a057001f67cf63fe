import jStat from 'jstat'
import type { Observation } from '@/lib/lane/model/observation'
import type { Chance } from '@/tests/reference/random'

/** A number between 0 and 1, both excluded. */
export const uniform = (chance: Chance) => (chance.whole(1e9) + 0.5) / 1e9

/** Hazards drawn from Beta distributions around `middle`, worth `weight` shipments. */
export const drawHazards = (middle: readonly number[], weight: number, chance: Chance): number[] =>
  middle.map((hazard) => jStat.beta.inv(uniform(chance), weight * hazard, weight * (1 - hazard)))

/** The chance of not having arrived by the end of each step. */
export function computeNotYet(hazards: readonly number[]): number[] {
  let left = 1
  return hazards.map((hazard) => {
    left *= 1 - hazard
    return left
  })
}

interface Sent {
  levels: readonly string[]
  hazards: readonly number[]
  startedAt?: number
}

/**
 * One shipment by these hazards; one in five is censored at some step, and one that passes the last step is
 * censored there.
 */
export function drawShipment({ levels, hazards, startedAt = 0 }: Sent, chance: Chance): Observation {
  const seenThrough = chance.whole(5) === 0 ? chance.whole(hazards.length) : hazards.length - 1
  for (let step = 0; step <= seenThrough; step += 1)
    if (uniform(chance) < (hazards[step] as number))
      return { levels, startedAt, steps: step, hasArrived: true, weight: 1 }
  return { levels, startedAt, steps: seenThrough, hasArrived: false, weight: 1 }
}
