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
  /** Under way for more open days than this: presumed lost. 30 unless set. */
  presumedLostSteps?: number
  /** Pull of the wider groups, as the fit takes it; fitted where absent. */
  weights?: number | readonly number[]
  /** Days in which a shipment's weight halves, null for none; as the fit has it where absent. */
  halfLifeDays?: number | null
  /** Whether closed days bridged, weekdays and days left to due are tried; unless set, where the weights are fitted. */
  candidates?: boolean
}

/** What a stage's past tells: the observations, what was left out of them, and the hazards fitted to them. */
export interface StageModel extends StageObservations {
  stage: Stage
  fit: Fit
  /** What was tried beside the steps, in the order in which it was decided; empty where the past is too short. */
  trials: readonly CandidateTrial[]
  /** What of that is used; null: nothing. */
  influences: Influences | null
}

/**
 * The record of all lanes as it was known at one time: how long each stage took, how late each place reports, at what
 * times of day things happen, and by which services plants ship. A stage is fitted when it is first asked for.
 */
export class TransitModel {
  /** What was known by then, ms UTC. */
  readonly knownAt: number
  readonly placeDays: PlaceDays
  readonly cutoffs: ObservationCutoffs
  readonly times: TimesOfDay
  readonly presumedLostSteps: number
  /** The chains of stages, made from this record as they are asked for. */
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

  /** What is known of a stage. */
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

  /** The services that a plant has shipped to a laboratory by, the most used first, with shares that sum to 1. */
  listServices(plant: string, laboratory: string): readonly ServiceShare[] {
    return this.#services.getShares(plant, laboratory)
  }

  /** Codes of samples dispatched so long ago that they are presumed lost, to be ruled on. */
  get presumedLost(): readonly string[] {
    return this.getStage({ from: 'dispatched', to: 'received' }).presumedLost
  }
}

/** The record of all lanes from the journeys as they were known at `knownAt` (ms UTC). */
export function buildTransitModel(
  journeys: readonly Journey[],
  places: Places,
  knownAt: number,
  options: TransitModelOptions = {},
): TransitModel {
  return new TransitModel(journeys, places, knownAt, options)
}

/** Each journey with its part of its consignment, which counts as one. */
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

/** One way that a chain may take, and how likely it is taken. */
export interface WeightedChain {
  chain: Chain
  service: string | null
  share: number
}

/** The chains of a record, each made once: those that end alike share their ends. */
export class Chains {
  readonly #model: TransitModel
  readonly #chains = new Map<string, Chain | null>()

  constructor(model: TransitModel) {
    this.#model = model
  }

  /**
   * The courses that a sample may take through `stages`: one, but where it has yet to be dispatched and no service is
   * named, one for each service that its plant has used to its laboratory. Null where nothing is known of a stage.
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

/** What tells two chains apart: what is past, or of no concern to the stages left, is not in it. */
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

/** In how many days a dispatch weighs half where nothing else is set: a plant changes its carrier slowly. Chosen, no source. */
const HALF_LIFE_DAYS = 180

/** By which services each plant ships to each laboratory: dispatches counted, what is old fading. */
class ServiceShares {
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
      const key = getPlacesKey(journey.plant, journey.laboratory)
      const services = counts.get(key) ?? new Map<string | null, number>()
      services.set(journey.service, (services.get(journey.service) ?? 0) + amount)
      counts.set(key, services)
    }
    for (const [key, services] of counts) this.#shares.set(key, computeShares(services))
  }

  /** The services used from a plant to a laboratory, the most used first; one unknown service where none was. */
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
