import type { OpenStanding } from '@/lib/hold/standing'
import { OWED_PURPOSES } from '@/lib/schedule/dutySamples'
import { AT_RISK_AT, TIGHT_AT } from './storedForecast'

/** The standing of `getOpenStanding` of an open row of `SCORED_SAMPLES`, with now as $1. */
export const STANDING_SQL = `case when has_lapsed or due_at < $1 then 'lapsed' when ${AT_RISK_AT} <= $1 then 'at risk'
  when ${TIGHT_AT} <= $1 then 'tight' else 'sound' end`

/** The condition that an open row has a standing. */
export function buildStandingCondition(standing: OpenStanding): string {
  return `(${STANDING_SQL}) = '${standing}'`
}

/** The condition on a row of `sample`, named `of` with its dot where others stand beside it, that `isOwed` puts on its purpose. */
export function buildOwedCondition(of = ''): string {
  return `${of}purpose in (${OWED_PURPOSES.map((purpose) => `'${purpose}'`).join(', ')})`
}
