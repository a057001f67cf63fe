import type { Evidence, Fit } from './fit'
import { applyMultiplier, type Influences } from './influence'
import type { ObservationCutoff } from './observationCutoff'
import type { OpenDays } from './openDays'
import type { Stage } from './stage'
import type { PlaceTimes } from './timeOfDay'

export interface LegParts {
  stage: Stage
  /** The place that reports its end. */
  place: string
  /** The groups it is estimated in, its own first. */
  levels: readonly string[]
  fit: Fit
  /** Its steps are counted in these days. */
  days: OpenDays
  /** That of the place that reports its end. */
  cutoff: ObservationCutoff
  times: PlaceTimes
  /** Null if no influence is in use. */
  influences: Influences | null
}

/** Hazards from a start day, and their derivatives by the unadjusted hazards. */
interface AdjustedHazards {
  hazards: Float64Array
  slopes: Float64Array
}

/** Maximum number of start days kept. */
const MAX_CACHED = 4096

/** One stage of one lane, with the hazards of its own groups and the days in which its steps are counted. */
export class Leg implements LegParts {
  readonly stage: Stage
  readonly place: string
  readonly levels: readonly string[]
  readonly fit: Fit
  readonly days: OpenDays
  readonly cutoff: ObservationCutoff
  readonly times: PlaceTimes
  readonly influences: Influences | null
  /** Legs with the same hazards have the same key. */
  readonly key: string
  /** By step from 0: the chance of ending at it, given not before, and its variance; before any influence. */
  readonly hazards: Float64Array
  readonly variances: Float64Array
  /** Errors shared by several hazards: see `Estimate.shared`. */
  readonly shared: readonly Float64Array[]
  /** The data behind the hazards. */
  readonly evidence: Evidence
  /** There are observations of this stage on some lane. */
  readonly hasHistory: boolean
  readonly #adjusted = new Map<string, AdjustedHazards>()

  constructor({ stage, place, levels, fit, days, cutoff, times, influences }: LegParts) {
    this.stage = stage
    this.place = place
    this.influences = influences
    this.levels = levels
    this.fit = fit
    this.days = days
    this.cutoff = cutoff
    this.times = times
    this.key = JSON.stringify([stage.from, stage.to, levels])
    this.hazards = fit.hazards(levels)
    this.variances = fit.variances(levels)
    this.shared = fit.shared(levels)
    this.evidence = fit.evidence(levels)
    this.hasHistory = fit.evidence([]).consignments > 0
  }

  get zone(): string {
    return this.days.calendar.zone
  }

  /** The days of its steps from a start day, up to the last step that is awaited. */
  daysFrom(startDay: number): Int32Array {
    return this.days.listStepDays(startDay, this.hazards.length - 1)
  }

  /** The hazards by step from a start day, if its end is awaited by `dueDay` (null: no known day). */
  hazardsFrom(startDay: number, dueDay: number | null): Float64Array {
    return this.influences ? this.#adjust(startDay, dueDay, this.influences).hazards : this.hazards
  }

  /** The derivatives of these by the unadjusted hazards; null if they are the same. */
  slopesFrom(startDay: number, dueDay: number | null): Float64Array | null {
    return this.influences ? this.#adjust(startDay, dueDay, this.influences).slopes : null
  }

  #adjust(startDay: number, dueDay: number | null, influences: Influences): AdjustedHazards {
    const key = influences.usesDue ? `${startDay} ${dueDay}` : `${startDay}`
    const known = this.#adjusted.get(key)
    if (known) return known
    const stepDays = this.daysFrom(startDay)
    const hazards = this.hazards.slice()
    const slopes = new Float64Array(hazards.length)
    for (let step = 0; step < hazards.length; step += 1) {
      const [day, dayBefore] = [stepDays[step] as number, stepDays[Math.max(0, step - 1)] as number]
      const { place, days } = this
      const multiplier = influences.getMultiplier({ place, days, step, day, dayBefore, dueDay })
      const hazard = hazards[step] as number
      hazards[step] = applyMultiplier(hazard, multiplier)
      slopes[step] = multiplier === 1 ? 1 : multiplier * (1 - hazard) ** (multiplier - 1)
    }
    if (this.#adjusted.size >= MAX_CACHED) this.#adjusted.clear()
    const made = { hazards, slopes }
    this.#adjusted.set(key, made)
    return made
  }
}
