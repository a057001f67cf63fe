import { DAY } from '@/lib/hold/zone'
import type { KnownJourney } from './observations'

export interface ServiceShare {
  service: string | null
  /** 0 to 1. */
  share: number
}

/** In how many days a dispatch weighs half where nothing else is set: a plant changes its carrier slowly. Chosen, no source. */
const HALF_LIFE_DAYS = 180

/** By which services each plant ships to each laboratory: dispatches counted, what is old fading. */
export class ServiceShares {
  readonly #shares = new Map<string, ServiceShare[]>()

  /** `knownAt` in ms UTC; samples of one consignment count as one dispatch by their weights. */
  constructor(
    journeys: readonly (KnownJourney & { weight: number })[],
    knownAt: number,
    halfLifeDays: number | null = HALF_LIFE_DAYS,
  ) {
    const counts = new Map<string, Map<string | null, number>>()
    for (const { journey, known, weight } of journeys) {
      const dispatched = known.milestones.get('dispatched')
      if (!dispatched) continue
      const age = (knownAt - dispatched.earliestAt) / DAY
      const amount = halfLifeDays === null ? weight : weight * 2 ** (-age / halfLifeDays)
      const key = keyOf(journey.plant, journey.laboratory)
      const services = counts.get(key) ?? new Map<string | null, number>()
      services.set(journey.service, (services.get(journey.service) ?? 0) + amount)
      counts.set(key, services)
    }
    for (const [key, services] of counts) this.#shares.set(key, sharesOf(services))
  }

  /** The services used from a plant to a laboratory, the most used first; one unknown service where none was. */
  of(plant: string, laboratory: string): readonly ServiceShare[] {
    return this.#shares.get(keyOf(plant, laboratory)) ?? [{ service: null, share: 1 }]
  }
}

function sharesOf(services: ReadonlyMap<string | null, number>): ServiceShare[] {
  let total = 0
  for (const amount of services.values()) total += amount
  return [...services]
    .map(([service, amount]) => ({ service, share: amount / total }))
    .sort((a, b) => b.share - a.share || ((a.service ?? '') < (b.service ?? '') ? -1 : 1))
}

function keyOf(plant: string, laboratory: string): string {
  return JSON.stringify([plant, laboratory])
}
