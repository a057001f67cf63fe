import type { Fit } from './fit'
import type { OpenDays } from './openDays'
import type { Stage } from './stage'

/** One stage of one way, with the hazards of its own groups and the days in which its steps are counted. */
export class Leg {
  readonly stage: Stage
  readonly levels: readonly string[]
  /** Who reports its end. */
  readonly place: string
  readonly days: OpenDays
  readonly fit: Fit
  /** By step from 0: the chance of ending at it, given not before, and the variance of that. */
  readonly hazards: Float64Array
  readonly variances: Float64Array

  constructor(stage: Stage, levels: readonly string[], place: string, days: OpenDays, fit: Fit) {
    this.stage = stage
    this.levels = levels
    this.place = place
    this.days = days
    this.fit = fit
    this.hazards = fit.hazards(levels)
    this.variances = fit.variances(levels)
  }

  get zone(): string {
    return this.days.calendar.zone
  }

  /** The days of its steps from a start on a day; the last step is the last that is ever waited for. */
  daysFrom(startDay: number): Int32Array {
    return this.days.daysOfSteps(startDay, this.hazards.length - 1)
  }

  /** Whether anything at all is known of such a stage, anywhere. */
  get hasRecord(): boolean {
    return this.fit.evidence([]).consignments > 0
  }
}
