import type pg from 'pg'
import type { z } from 'zod'
import type { Register } from '@/lib/custody/register'
import { MINUTE } from '@/lib/hold/zone'
import type { TransitModel } from '@/lib/lane/model/transitModel'
import { getRegister } from '../ledger/currentRegister'
import { toSqlInstant } from '../scope/sqlInstant'
import { command, statement } from '../scope/statement'
import type { Queryable } from '../scope/transaction'
import { withWriteTransaction } from '../scope/writer'
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

/** A score is worked out anew after this, ms. */
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
 * Notes of these samples that they are to be scored, and of those that are settled or have no clock running that they
 * are not. Run it whenever samples have been derived.
 */
export async function resetScores(client: Queryable, codes: readonly string[]): Promise<void> {
  await DELETE_SCORES.run(client, [codes])
  await RESET_SCORES.run(client, [codes])
}

/** Which scores are too old at `now` (ms UTC) where the record was made at $1, as a condition with values from there on. */
const STALE_SCORE = `(scored_at is null or scored_at < $1 or scored_at > $2)`

/** The values of `STALE_SCORE`: scores from before the record was made, or too long ago, or ahead of time. */
function getStaleScoreValues(record: TransitModel | null, now: number): [Date, Date] {
  const since = Math.max(now - MAX_SCORE_AGE_MS, Math.min(record?.knownAt ?? Number.NEGATIVE_INFINITY, now))
  return [new Date(since), new Date(now + MAX_SCORE_AGE_MS)]
}

const ANY_STALE_SCORE = command(`select from forecast where ${STALE_SCORE} limit 1`)

/** Whether `scoreDueSamples` would find anything to do at `now` (ms UTC): one query, by an index. */
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
 * Scores the open samples that have changed since, and those whose score is older than a quarter of an hour or than the
 * record, at `now` (ms UTC), a batch in each transaction. The same ledgers and `now` give the same scores. Returns how
 * many were scored.
 */
export async function scoreDueSamples(pool: pg.Pool, now: number): Promise<number> {
  const record = await getTransitModel(pool, now)
  for (let scored = 0; ; ) {
    const batch = await withWriteTransaction(pool, async (client) =>
      scoreBatch(client, await getRegister(pool, client), record, now),
    )
    scored += batch
    if (batch < BATCH) return scored
  }
}

const runningScorings = new WeakMap<pg.Pool, Promise<boolean>>()

/**
 * Scores what is due at `now` (ms UTC), and returns true when that is done, or false when `patienceMs` have passed; then
 * it goes on by itself. Who comes while it runs waits for the same. What goes wrong is said on standard error.
 */
export async function scoreWithTimeout(pool: pg.Pool, now: number, patienceMs: number): Promise<boolean> {
  let scoring = runningScorings.get(pool)
  if (!scoring) {
    scoring = scoreDueSamples(pool, now)
      .then(() => true)
      .catch((error: Error) => {
        console.error(`Scores could not be worked out: ${error.stack}`)
        return false
      })
      .finally(() => runningScorings.delete(pool))
    runningScorings.set(pool, scoring)
  }
  let timer: NodeJS.Timeout | undefined
  const patience = new Promise<boolean>((resolve) => {
    timer = setTimeout(() => resolve(false), patienceMs)
  })
  const isDone = await Promise.race([scoring, patience])
  clearTimeout(timer)
  return isDone
}

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
  record: TransitModel,
  now: number,
): Promise<number> {
  const rows = await OLDEST.all(client, getStaleScoreValues(record, now))
  await writeScores(client, rows, register, record, now)
  return rows.length
}

const WRITE = command(
  `update forecast set (limit_name, tight_at, at_risk_at, risk, low, high, needs_opening, detail, scored_at) =
     (new.limit_name, new.tight_at, new.at_risk_at, new.risk, new.low, new.high, new.needs_opening, new.detail, new.scored_at)
   from json_populate_recordset(null::forecast, $1::json) as new where forecast.code = new.code`,
)

/** Scores these open samples now, whatever their scores are. */
async function writeScores(
  client: Queryable,
  rows: readonly OpenSample[],
  register: Register,
  record: TransitModel,
  now: number,
): Promise<void> {
  if (rows.length === 0) return
  const scored = rows.map((row) => toForecastRow(row, register, record, now))
  await WRITE.run(client, [JSON.stringify(scored)])
}

function toForecastRow(row: OpenSample, register: Register, record: TransitModel, now: number) {
  const journey = readJourney(row)
  const score = scoreSample(
    { journey, clocks: row.clocks },
    register.getThresholds(row.protocol),
    record,
    now,
  )
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
