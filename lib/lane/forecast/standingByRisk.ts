import { DEFAULT_THRESHOLDS, type OpenStanding, type Thresholds } from '@/lib/hold/standing'
import type { Forecast } from './forecast'

/** The standing that a forecast gives a clock that runs. Where only an opening out of hours could save it, it is at risk. */
export function standingByRisk(
  { risk, needsOpening }: Pick<Forecast, 'risk' | 'needsOpening'>,
  thresholds: Thresholds = DEFAULT_THRESHOLDS,
): OpenStanding {
  if (needsOpening || risk >= thresholds.atRisk) return 'at risk'
  return risk >= thresholds.tight ? 'tight' : 'sound'
}
