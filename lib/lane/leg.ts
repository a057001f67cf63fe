import type { Evidence, Fit } from './fit'
import type { LastWord } from './lastWord'
import type { OpenDays } from './openDays'
import type { Stage } from './stage'
import type { PlaceTimes } from './timeOfDay'

/** What a leg is made of. */
export interface LegParts {
  stage: Stage
  /** The groups that it is estimated in, its own first. */
  levels: readonly string[]
  fit: Fit
  /** Those in which its steps are counted. */
  days: OpenDays
  /** Of whoever reports its end. */
  word: LastWord
  times: PlaceTimes
}

/** One stage of one way, with the hazards of its own groups and the days in which its steps are counted. */
export class Leg implements LegParts {
  readonly stage: Stage
  readonly levels: readonly string[]
  readonly fit: Fit
  readonly days: OpenDays
  readonly word: LastWord
  readonly times: PlaceTimes
  /** The same for legs that stand for the same hazards. */
  readonly key: string
  /** By step from 0: the chance of ending at it, given not before, and the variance of that. */
  readonly hazards: Float64Array
  readonly variances: Float64Array
  /** What several hazards may be wrong by together, as the fit has it. */
  readonly shared: readonly Float64Array[]
  /** What the hazards rest on. */
  readonly evidence: Evidence
  /** Whether anything at all is known of such a stage, anywhere. */
  readonly hasRecord: boolean

  constructor({ stage, levels, fit, days, word, times }: LegParts) {
    this.stage = stage
    this.levels = levels
    this.fit = fit
    this.days = days
    this.word = word
    this.times = times
    this.key = JSON.stringify([stage.from, stage.to, levels])
    this.hazards = fit.hazards(levels)
    this.variances = fit.variances(levels)
    this.shared = fit.shared(levels)
    this.evidence = fit.evidence(levels)
    this.hasRecord = fit.evidence([]).consignments > 0
  }

  get zone(): string {
    return this.days.calendar.zone
  }

  /** The days of its steps from a start on a day; the last step is the last that is ever waited for. */
  daysFrom(startDay: number): Int32Array {
    return this.days.daysOfSteps(startDay, this.hazards.length - 1)
  }
}
