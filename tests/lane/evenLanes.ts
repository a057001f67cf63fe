import type { Observation } from '@/lib/lane/model/observation'
import type { Draws } from './chance'

export const DAY = 86_400_000
/** Monday 5 January 2026, 15:00 UTC. */
export const FIRST_AT = Date.UTC(2026, 0, 5, 15)

/** Chances of arriving after 0, 1, 2 ... open days, from almost always the same to a long tail. */
export const LANES: Record<string, number[]> = {
  'nearly always two days': [0.02, 0.1, 0.7, 0.12, 0.04, 0.02],
  skewed: [0, 0.15, 0.35, 0.22, 0.12, 0.07, 0.04, 0.02, 0.015, 0.01, 0.005],
  'long tail': Array.from({ length: 25 }, (_, step) => 0.3 * 0.7 ** step),
  'one day, at times two': [0, 0.9, 0.1],
}

export function arrival(startedAt: number, steps: number): Observation {
  return { levels: ['lane'], startedAt, steps, hasArrived: true, weight: 1 }
}

/** One shipment a day with steps drawn from `chances`, later by `shift` from the shipment numbered `from`. */
export function shipments(
  draws: Draws,
  chances: readonly number[],
  count: number,
  { shift = 0, from = 0 } = {},
): Observation[] {
  return Array.from({ length: count }, (_, index) =>
    arrival(FIRST_AT + index * DAY, Math.max(0, draws.step(chances) + (index < from ? 0 : shift))),
  )
}

/** What is known at the end of the day numbered `today`, one step a day. */
export function asSeenOn(all: readonly Observation[], today: number): Observation[] {
  return all.slice(0, today + 1).map((one, index) => {
    const through = today - index
    return one.steps <= through ? one : { ...one, steps: through, hasArrived: false }
  })
}
