import type pg from 'pg'
import type { z } from 'zod'
import type { Register } from '@/lib/custody/register'
import { MINUTE } from '@/lib/hold/zone'
import type { TransitModel } from '@/lib/lane/model/transitModel'
import { getRegister } from '../ledger/currentRegister'
import { toSqlInstant } from '../scope/sqlInstant'
import { command, statement } from '../scope/statement'
import type { Queryable } from '../scope/transaction'
import { declareCatchUp, writeInTurn } from './catchUp'
import { storedSample } from './sampleRow'
import { scoreSample } from './scoreSample'
import { toStoredForecast } from './storedForecast'
import { journeyRow, readJourney } from './storedJourney'
import {
  getCachedTransitModel,
  getTransitModel,
  isTransitModelStale,
  type LedgerPosition,
} from './transitModelCache'

const MAX_SCORE_AGE_MS = 15 * MINUTE

const BATCH = 250

const DELETE_SCORES = command(
  `delete from forecast using sample where forecast.code = any($1) and sample.code = forecast.code
     and (sample.settled is not null or sample.due_at is null)`,
)
const RESET_SCORES = command(
  `insert into forecast (code, plant, laboratory)
   select code, plant, laboratory from sample where code = any($1) and settled is null and due_at is not null
   on conflict (code) do update set (plant, laboratory, limit_name, tight_at, at_risk_at, risk, low, high,
     needs_opening, detail, scored_at) = (excluded.plant, excluded.laboratory, null, null, null, null, null, null,
     false, null, null)`,
)

/**
 * Marks these samples for scoring, except those that are settled or have no running clock. Call it after samples have been
 * derived.
 */
export async function resetScores(client: Queryable, codes: readonly string[]): Promise<void> {
  await DELETE_SCORES.run(client, [codes])
  await RESET_SCORES.run(client, [codes])
}

/** The condition that a score is stale; its values come from `getStaleScoreValues`. */
const STALE_SCORE = `(scored_at is null or scored_at < $1 or scored_at > $2)`

/** A score is stale if it is older than the transit model or than a quarter of an hour, or if it is ahead of `now` by that. */
function getStaleScoreValues(model: TransitModel | null, now: number): [Date, Date] {
  const since = Math.max(now - MAX_SCORE_AGE_MS, Math.min(model?.knownAt ?? Number.NEGATIVE_INFINITY, now))
  return [new Date(since), new Date(now + MAX_SCORE_AGE_MS)]
}

const ANY_STALE_SCORE = command(`select from forecast where ${STALE_SCORE} limit 1`)

/** Whether `scoreDueSamples` has anything to do at `now` (ms UTC). One query by an index. */
export async function isScoringDue(
  pool: pg.Pool,
  client: Queryable,
  position: LedgerPosition,
  now: number,
): Promise<boolean> {
  if (isTransitModelStale(pool, position, now)) return true
  return (await ANY_STALE_SCORE.run(client, getStaleScoreValues(getCachedTransitModel(pool), now))) > 0
}

/**
 * Scores the open samples that have no score or a stale one, at `now` (ms UTC), with a transaction for each batch. The same
 * ledgers and `now` give the same scores. Calls `fallBehind` if it has to wait for a writer. Returns the number of samples.
 */
export async function scoreDueSamples(
  pool: pg.Pool,
  now: number,
  fallBehind: () => void = () => {},
): Promise<number> {
  const model = await getTransitModel(pool, now)
  for (let scored = 0; ; ) {
    const batch = await writeInTurn(
      pool,
      async (client) => scoreBatch(client, await getRegister(pool, client), model, now),
      fallBehind,
    )
    scored += batch
    if (batch < BATCH) return scored
  }
}

/** Scores what is due before a page is read. */
export const scoreWithTimeout = declareCatchUp('Scoring', scoreDueSamples)

const openSample = journeyRow.extend(storedSample.pick({ protocol: true, clocks: true }).shape)
type OpenSample = z.infer<typeof openSample>

const OLDEST = statement(
  openSample,
  `select code, sample.plant, sample.laboratory, issued_at, journey, protocol, clocks
   from (select code, scored_at from forecast where ${STALE_SCORE}
         order by scored_at nulls first, code limit ${BATCH}) as due
   join sample using (code)`,
)

async function scoreBatch(
  client: Queryable,
  register: Register,
  model: TransitModel,
  now: number,
): Promise<number> {
  const rows = await OLDEST.all(client, getStaleScoreValues(model, now))
  await writeScores(client, rows, register, model, now)
  return rows.length
}

const WRITE = command(
  `update forecast set (limit_name, tight_at, at_risk_at, risk, low, high, needs_opening, detail, scored_at) =
     (new.limit_name, new.tight_at, new.at_risk_at, new.risk, new.low, new.high, new.needs_opening, new.detail, new.scored_at)
   from json_populate_recordset(null::forecast, $1::json) as new where forecast.code = new.code`,
)

async function writeScores(
  client: Queryable,
  rows: readonly OpenSample[],
  register: Register,
  model: TransitModel,
  now: number,
): Promise<void> {
  if (rows.length === 0) return
  const scored = rows.map((row) => toForecastRow(row, register, model, now))
  await WRITE.run(client, [JSON.stringify(scored)])
}

function toForecastRow(row: OpenSample, register: Register, model: TransitModel, now: number) {
  const journey = readJourney(row)
  const score = scoreSample({ journey, clocks: row.clocks }, register.getThresholds(row.protocol), model, now)
  const text = (at: number | null | undefined) => (at == null ? null : toSqlInstant(at))
  return {
    code: row.code,
    limit_name: score?.limit ?? null,
    tight_at: text(score?.tightAt),
    at_risk_at: text(score?.atRiskAt),
    risk: score?.binding?.risk ?? null,
    low: score?.binding?.low ?? null,
    high: score?.binding?.high ?? null,
    needs_opening: score?.binding?.needsOpening ?? false,
    detail: score && toStoredForecast(score),
    scored_at: toSqlInstant(now),
  }
}
