import type { OpenStanding, Thresholds } from '@/lib/hold/standing'
import type { Forecast } from './forecast'

/** Chances to miss (0 to 1) from which an open sample is tight, and at risk, where its protocol sets none. */
export const DEFAULT_RISK_THRESHOLDS: Thresholds = { tight: 0.05, atRisk: 0.2 }

/** The chances that a protocol sets, filled up so that tight never lies above at risk. */
export function riskThresholds(set: { tight?: number | undefined; atRisk?: number | undefined }): Thresholds {
  const { tight, atRisk } = DEFAULT_RISK_THRESHOLDS
  return {
    tight: set.tight ?? Math.min(tight, set.atRisk ?? 1),
    atRisk: set.atRisk ?? Math.max(atRisk, set.tight ?? 0),
  }
}

/** The standing that a forecast gives a clock that runs. Where only an opening out of hours could save it, it is at risk. */
export function standingByRisk(
  { risk, needsOpening }: Pick<Forecast, 'risk' | 'needsOpening'>,
  thresholds: Thresholds = DEFAULT_RISK_THRESHOLDS,
): OpenStanding {
  if (needsOpening || risk >= thresholds.atRisk) return 'at risk'
  return risk >= thresholds.tight ? 'tight' : 'sound'
}
