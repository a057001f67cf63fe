import type { OpenStanding } from '@/lib/hold/standing'
import { OWED_PURPOSES } from '@/lib/schedule/dutySamples'
import { AT_RISK_AT, TIGHT_AT } from './storedForecast'

/** `getOpenStanding` in SQL, for an open row of `SCORED_SAMPLES`. $1 is now. */
export const STANDING_SQL = `case when has_lapsed or due_at < $1 then 'lapsed' when ${AT_RISK_AT} <= $1 then 'at risk'
  when ${TIGHT_AT} <= $1 then 'tight' else 'sound' end`

/** The condition that an open row has this standing. */
export function buildStandingCondition(standing: OpenStanding): string {
  return `(${STANDING_SQL}) = '${standing}'`
}

/** `isOwed` in SQL, for a row of `sample`. `prefix` is the table's name with its dot, if the query has several. */
export function buildOwedCondition(prefix = ''): string {
  return `${prefix}purpose in (${OWED_PURPOSES.map((purpose) => `'${purpose}'`).join(', ')})`
}
