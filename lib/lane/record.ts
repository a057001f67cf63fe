import { type Trial, tryCandidates } from './candidates'
import { Chains } from './chains'
import { type Fit, fitOf, PRESUMED_LOST_STEPS } from './fit'
import type { Influences } from './influence'
import { asKnownAt, consignmentOf, type Journey } from './journey'
import { LastWords } from './lastWord'
import { type KnownJourney, observationsOf, type StageObservations, type Standpoint } from './observations'
import type { Places } from './places'
import { PlaceDays } from './reporter'
import { type ServiceShare, ServiceShares } from './serviceShares'
import { type Stage, stageKey } from './stage'
import { TimesOfDay } from './timeOfDay'

export interface RecordOptions {
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
export interface StageRecord extends StageObservations {
  stage: Stage
  fit: Fit
  /** What was tried beside the steps, in the order in which it was decided; empty where the past is too short. */
  trials: readonly Trial[]
  /** What of that is used; null: nothing. */
  influences: Influences | null
}

/**
 * The record of all lanes as it was known at one time: how long each stage took, how late each place reports, at what
 * times of day things happen, and by which services plants ship. A stage is fitted when it is first asked for.
 */
export class LaneRecord {
  /** What was known by then, ms UTC. */
  readonly knownAt: number
  readonly placeDays: PlaceDays
  readonly words: LastWords
  readonly times: TimesOfDay
  readonly presumedLostSteps: number
  /** The chains of stages, made from this record as they are asked for. */
  readonly chains: Chains
  readonly #journeys: readonly KnownJourney[]
  readonly #options: RecordOptions
  readonly #standpoint: Standpoint
  readonly #stages = new Map<string, StageRecord>()
  readonly #services: ServiceShares

  constructor(journeys: readonly Journey[], places: Places, knownAt: number, options: RecordOptions) {
    this.knownAt = knownAt
    this.placeDays = new PlaceDays(places)
    this.presumedLostSteps = options.presumedLostSteps ?? PRESUMED_LOST_STEPS
    this.words = new LastWords(journeys, this.placeDays, knownAt)
    this.#options = options
    this.#journeys = journeys.map((journey) => ({ journey, known: asKnownAt(journey, knownAt) }))
    const weighed = withWeights(this.#journeys)
    this.times = new TimesOfDay(weighed, this.placeDays)
    this.#services = new ServiceShares(weighed, knownAt, options.halfLifeDays)
    const { placeDays, words, presumedLostSteps } = this
    this.chains = new Chains(this)
    this.#standpoint = { placeDays, words, knownAt, presumedLostSteps }
  }

  /** What is known of a stage. */
  of(stage: Stage): StageRecord {
    const key = stageKey(stage)
    const known = this.#stages.get(key)
    if (known) return known
    const seen = observationsOf(stage, this.#journeys, this.#standpoint)
    const { presumedLostSteps, placeDays } = this
    const { candidates, ...options } = this.#options
    const fit = fitOf(seen.observations, { ...options, presumedLostSteps, referenceAt: this.knownAt })
    const tried =
      (candidates ?? options.weights === undefined)
        ? tryCandidates(stage, seen.observations, fit, placeDays)
        : { trials: [], influences: null }
    const record = { stage, ...seen, fit, ...tried }
    this.#stages.set(key, record)
    return record
  }

  /** The services that a plant has shipped to a laboratory by, the most used first, with shares that sum to 1. */
  servicesOf(plant: string, laboratory: string): readonly ServiceShare[] {
    return this.#services.of(plant, laboratory)
  }

  /** Codes of samples dispatched so long ago that they are presumed lost, to be ruled on. */
  get presumedLost(): readonly string[] {
    return this.of({ from: 'dispatched', to: 'received' }).presumedLost
  }
}

/** The record of all lanes from the journeys as they were known at `knownAt` (ms UTC). */
export function recordOf(
  journeys: readonly Journey[],
  places: Places,
  knownAt: number,
  options: RecordOptions = {},
): LaneRecord {
  return new LaneRecord(journeys, places, knownAt, options)
}

/** Each journey with its part of its consignment, which counts as one. */
function withWeights(journeys: readonly KnownJourney[]): (KnownJourney & { weight: number })[] {
  const named = journeys.map((one) => ({ one, consignment: consignmentOf(one.journey) }))
  const sizes = new Map<string, number>()
  for (const { consignment } of named)
    if (consignment !== null) sizes.set(consignment, (sizes.get(consignment) ?? 0) + 1)
  return named.map(({ one, consignment }) => ({
    ...one,
    weight: consignment === null ? 1 : 1 / (sizes.get(consignment) as number),
  }))
}
