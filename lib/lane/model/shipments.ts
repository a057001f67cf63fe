import { findKnownAt, type Journey } from './journey'
import { TRANSIT } from './lanes'
import { collectObservations } from './observations'
import type { TransitModel } from './transitModel'

/** Samples that travelled together on a lane, and the outcome. Instants in ms UTC. */
export interface Shipment {
  /** Kit codes of its samples. */
  codes: string[]
  dispatchedAt: number
  receivedAt: number | null
  /** Open days after the day of hand-over on which it arrived, or by whose end it had not; null if unknown. */
  steps: number | null
  outcome: 'arrived' | 'under way' | 'never arrived' | 'presumed lost' | 'out of order' | 'not reported'
}

/**
 * Groups journeys into shipments, the last dispatched first. The samples of a consignment are one shipment if
 * they share an outcome.
 */
export function collectShipments(journeys: readonly Journey[], model: TransitModel): Shipment[] {
  const shipments = new Map<string, Shipment>()
  for (const journey of journeys) {
    const known = findKnownAt(journey, model.knownAt)
    const dispatchedAt = known.milestones.get('dispatched')?.earliestAt
    if (dispatchedAt === undefined) continue
    const seen = collectObservations(TRANSIT, [{ journey, known }], model)
    const [observation] = seen.observations
    const outcome = observation
      ? findOutcome(observation, seen.presumedLost.length > 0)
      : seen.outOfOrder > 0
        ? 'out of order'
        : 'not reported'
    const steps = observation && Number.isFinite(observation.steps) ? Math.max(0, observation.steps) : null
    const receivedAt = known.milestones.get('received')?.latestAt ?? null
    const key = JSON.stringify([journey.consignment ?? journey.code, dispatchedAt, receivedAt, outcome])
    const before = shipments.get(key)
    if (before) before.codes.push(journey.code)
    else shipments.set(key, { codes: [journey.code], dispatchedAt, receivedAt, steps, outcome })
  }
  return [...shipments.values()].sort((a, b) => b.dispatchedAt - a.dispatchedAt)
}

function findOutcome(
  { steps, hasArrived }: { steps: number; hasArrived: boolean },
  isPresumed: boolean,
): Shipment['outcome'] {
  if (hasArrived) return 'arrived'
  if (isPresumed) return 'presumed lost'
  return steps === Number.POSITIVE_INFINITY ? 'never arrived' : 'under way'
}
