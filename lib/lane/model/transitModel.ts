import type { Milestone } from '@/lib/hold/milestone'
import { DAY } from '@/lib/hold/zone'
import { type CandidateTrial, tryCandidates } from './candidates'
import { Chain, createPickupHandover, SAME_DAY } from './chain'
import { type Fit, fitHazards, PRESUMED_LOST_STEPS } from './fit'
import type { Influences } from './influence'
import { findKnownAt, getConsignmentKey, type Journey } from './journey'
import { Leg } from './leg'
import { ObservationCutoffs } from './observationCutoff'
import {
  collectObservations,
  type KnownJourney,
  type ObservationContext,
  type StageObservations,
} from './observations'
import type { Places } from './places'
import { findReporter, PlaceDays } from './reporter'
import { type LaneId, listGroupKeys, type Stage, stageKey, stageKind } from './stage'
import { TimesOfDay } from './timeOfDay'

export interface TransitModelOptions {
  /** Under way for more open days than this: presumed lost. Default 30. */
  presumedLostSteps?: number
  /** Shrinkage to the wider groups, as in `FitOptions`; fitted if absent. */
  weights?: number | readonly number[]
  /** Half-life of a shipment's weight in days, null for none; fitted if absent. */
  halfLifeDays?: number | null
  /**
   * Try closed days bridged, weekdays and days left to the due as influences. Default: if the weights are
   * fitted.
   */
  candidates?: boolean
}

/** The observations of a stage, counts of what was left out of them, and the fitted hazards. */
export interface StageModel extends StageObservations {
  stage: Stage
  fit: Fit
  /** Candidates in the order in which they were decided; empty if the past is too short. */
  trials: readonly CandidateTrial[]
  /** The candidates in use; null if there are none. */
  influences: Influences | null
}

/**
 * The model of all lanes as known at one time: how long each stage takes, how late each place reports, the
 * times of day of milestones, and the services that plants use. A stage is fitted when it is first read.
 */
export class TransitModel {
  /** ms UTC; later facts are ignored. */
  readonly knownAt: number
  readonly placeDays: PlaceDays
  readonly cutoffs: ObservationCutoffs
  readonly times: TimesOfDay
  readonly presumedLostSteps: number
  readonly chains: Chains
  readonly #journeys: readonly KnownJourney[]
  readonly #options: TransitModelOptions
  readonly #context: ObservationContext
  readonly #stages = new Map<string, StageModel>()
  readonly #services: ServiceShares

  constructor(journeys: readonly Journey[], places: Places, knownAt: number, options: TransitModelOptions) {
    this.knownAt = knownAt
    this.placeDays = new PlaceDays(places)
    this.presumedLostSteps = options.presumedLostSteps ?? PRESUMED_LOST_STEPS
    this.cutoffs = new ObservationCutoffs(journeys, this.placeDays, knownAt)
    this.#options = options
    this.#journeys = journeys.map((journey) => ({ journey, known: findKnownAt(journey, knownAt) }))
    const weighed = addWeights(this.#journeys)
    this.times = new TimesOfDay(weighed, this.placeDays)
    this.#services = new ServiceShares(weighed, knownAt, options.halfLifeDays)
    const { placeDays, cutoffs, presumedLostSteps } = this
    this.chains = new Chains(this)
    this.#context = { placeDays, cutoffs, knownAt, presumedLostSteps }
  }

  getStage(stage: Stage): StageModel {
    const key = stageKey(stage)
    const known = this.#stages.get(key)
    if (known) return known
    const seen = collectObservations(stage, this.#journeys, this.#context)
    const { presumedLostSteps, placeDays } = this
    const { candidates, ...options } = this.#options
    const fit = fitHazards(seen.observations, { ...options, presumedLostSteps, referenceAt: this.knownAt })
    const tried =
      (candidates ?? options.weights === undefined)
        ? tryCandidates(stage, seen.observations, fit, placeDays)
        : { trials: [], influences: null }
    const model = { stage, ...seen, fit, ...tried }
    this.#stages.set(key, model)
    return model
  }

  /** The services that a plant has used to a laboratory, the most used first; shares sum to 1. */
  listServices(plant: string, laboratory: string): readonly ServiceShare[] {
    return this.#services.getShares(plant, laboratory)
  }

  /** Codes of samples dispatched so long ago that they are presumed lost, to be ruled on. */
  get presumedLost(): readonly string[] {
    return this.getStage({ from: 'dispatched', to: 'received' }).presumedLost
  }
}

/** Builds the model from the journeys as known at `knownAt` (ms UTC). */
export function buildTransitModel(
  journeys: readonly Journey[],
  places: Places,
  knownAt: number,
  options: TransitModelOptions = {},
): TransitModel {
  return new TransitModel(journeys, places, knownAt, options)
}

/** A consignment weighs 1: each of its samples gets an equal share. */
function addWeights(journeys: readonly KnownJourney[]): (KnownJourney & { weight: number })[] {
  const named = journeys.map((one) => ({ one, consignment: getConsignmentKey(one.journey) }))
  const sizes = new Map<string, number>()
  for (const { consignment } of named)
    if (consignment !== null) sizes.set(consignment, (sizes.get(consignment) ?? 0) + 1)
  return named.map(({ one, consignment }) => ({
    ...one,
    weight: consignment === null ? 1 : 1 / (sizes.get(consignment) as number),
  }))
}

/** A chain that a sample may take, and its chance. */
export interface WeightedChain {
  chain: Chain
  service: string | null
  share: number
}

/** The chains of a model, each built once; chains that end alike share their ends. */
export class Chains {
  readonly #model: TransitModel
  readonly #chains = new Map<string, Chain | null>()

  constructor(model: TransitModel) {
    this.#model = model
  }

  /**
   * The chains that a sample may take through `stages`. There is one, unless the sample is not dispatched yet
   * and no service is named: then there is one for each service that its plant has used to its laboratory. Null
   * if there is no data on a stage.
   */
  findWeightedChains(stages: readonly Stage[], lane: LaneId): WeightedChain[] | null {
    const first = stages[0]
    if (!first) return null
    const isOpen = lane.service === null && stageKind(first) === 'plant' && stages.some(isTransit)
    const shares = isOpen
      ? this.#model.listServices(lane.plant, lane.laboratory)
      : [{ service: lane.service, share: 1 }]
    const chains: WeightedChain[] = []
    for (const { service, share } of shares) {
      const chain = this.#getChain(stages, 0, { ...lane, service })
      if (!chain) return null
      chains.push({ chain, service, share })
    }
    return chains
  }

  #getChain(stages: readonly Stage[], index: number, lane: LaneId): Chain | null {
    const stage = stages[index] as Stage
    const stop = (stages.at(-1) as Stage).to
    const key = getChainKey(stage, stop, stages.length - index, lane)
    const known = this.#chains.get(key)
    if (known !== undefined) return known
    const leg = this.#createLeg(stage, lane)
    const isLast = index === stages.length - 1
    const next = isLast ? null : this.#getChain(stages, index + 1, lane)
    const isHandover = !isLast && stage.to === 'dispatched'
    const { placeDays, times } = this.#model
    const handover = isHandover
      ? createPickupHandover(lane.plant, lane.service, placeDays.places, times)
      : SAME_DAY
    const chain = leg.hasHistory && (isLast || next) ? new Chain(leg, next, handover) : null
    this.#chains.set(key, chain)
    return chain
  }

  #createLeg(stage: Stage, lane: LaneId): Leg {
    const { placeDays, cutoffs, times } = this.#model
    const place = findReporter(stage.to, lane)
    const days = placeDays.getDays(stage.to, place)
    const { fit, influences } = this.#model.getStage(stage)
    return new Leg({
      stage,
      place,
      levels: listGroupKeys(stage, lane),
      fit,
      influences,
      days,
      cutoff: cutoffs.getCutoff(stage.to, place, days),
      times: times.getTimes(stage.to, place),
    })
  }
}

function isTransit(stage: Stage): boolean {
  return stageKind(stage) === 'transit'
}

/** Leaves out everything that does not matter to the stages left, so that chains are shared. */
function getChainKey(stage: Stage, stop: Milestone, left: number, lane: LaneId): string {
  const { laboratory, plant, service } = lane
  const kind = stageKind(stage)
  const parts =
    kind === 'laboratory' ? [laboratory] : [laboratory, plant, service === null ? '' : `+${service}`]
  return [stage.from, stage.to, stop, left, ...parts].join('\u0000')
}

interface ServiceShare {
  service: string | null
  /** 0 to 1. */
  share: number
}

/** Default half-life of a dispatch's weight, days: plants change carriers slowly. Chosen, no source. */
const HALF_LIFE_DAYS = 180

/** The services by which each plant ships to each laboratory: dispatches counted, weighted by age. */
class ServiceShares {
  readonly #shares = new Map<string, ServiceShare[]>()

  /** `knownAt` in ms UTC. The samples of one consignment count as one dispatch. */
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
      const key = getPlacesKey(journey.plant, journey.laboratory)
      const services = counts.get(key) ?? new Map<string | null, number>()
      services.set(journey.service, (services.get(journey.service) ?? 0) + amount)
      counts.set(key, services)
    }
    for (const [key, services] of counts) this.#shares.set(key, computeShares(services))
  }

  /**
   * The services used from a plant to a laboratory, the most used first; one unnamed service if there are none.
   */
  getShares(plant: string, laboratory: string): readonly ServiceShare[] {
    return this.#shares.get(getPlacesKey(plant, laboratory)) ?? [{ service: null, share: 1 }]
  }
}

function computeShares(services: ReadonlyMap<string | null, number>): ServiceShare[] {
  let total = 0
  for (const amount of services.values()) total += amount
  return [...services]
    .map(([service, amount]) => ({ service, share: amount / total }))
    .sort((a, b) => b.share - a.share || ((a.service ?? '') < (b.service ?? '') ? -1 : 1))
}

function getPlacesKey(plant: string, laboratory: string): string {
  return JSON.stringify([plant, laboratory])
}
