import type { Observation } from '@/lib/lane/model/observation'

/** Observations of the pool only, from times written as in survival tables: `6` an event, `6+` censored. */
export function fromTimes(times: string, levels: readonly string[] = []): Observation[] {
  return times.split(' ').map((time) => ({
    levels,
    startedAt: 0,
    steps: Number.parseInt(time, 10),
    hasArrived: !time.endsWith('+'),
    weight: 1,
  }))
}

/** No shrinkage, no fading, nothing presumed lost: must equal the Kaplan-Meier estimator. */
export const PLAIN = {
  referenceAt: 0,
  weights: 0,
  halfLifeDays: null,
  presumedLostSteps: Number.POSITIVE_INFINITY,
} as const
