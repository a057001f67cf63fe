import type pg from 'pg'
import type { z } from 'zod'
import type { Register } from '@/lib/custody/register'
import { MINUTE } from '@/lib/hold/zone'
import type { LaneRecord } from '@/lib/lane/model/record'
import { currentRegister } from '../ledger/currentRegister'
import { instantText } from '../scope/instantText'
import { command, statement } from '../scope/statement'
import type { Queryable } from '../scope/transaction'
import { asWriter } from '../scope/writer'
import { isRecordOld, keptRecord, type LedgerPosition, laneRecord } from './laneRecord'
import { storedSample } from './sampleRow'
import { scoreOf } from './scoreOf'
import { storedForecast } from './storedForecast'
import { journeyRow, readJourney } from './storedJourney'

/** A score is worked out anew after this, ms. */
const SCORED_FOR = 15 * MINUTE

const BATCH = 250

const FORGET = command(
  `delete from forecast using sample where forecast.code = any($1) and sample.code = forecast.code
     and (sample.settled is not null or sample.due_at is null)`,
)
const TO_BE_SCORED = command(
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
export async function forgetScores(client: Queryable, codes: readonly string[]): Promise<void> {
  await FORGET.run(client, [codes])
  await TO_BE_SCORED.run(client, [codes])
}

/** Which scores are too old at `now` (ms UTC) where the record was made at $1, as a condition with values from there on. */
const TO_SCORE = `(scored_at is null or scored_at < $1 or scored_at > $2)`

/** The values of `TO_SCORE`: scores from before the record was made, or too long ago, or ahead of time. */
function toScore(record: LaneRecord | null, now: number): [Date, Date] {
  const since = Math.max(now - SCORED_FOR, Math.min(record?.knownAt ?? Number.NEGATIVE_INFINITY, now))
  return [new Date(since), new Date(now + SCORED_FOR)]
}

const ANY_TO_SCORE = command(`select from forecast where ${TO_SCORE} limit 1`)

/** Whether `scoreWhatIsDue` would find anything to do at `now` (ms UTC): one query, by an index. */
export async function isScoringDue(
  pool: pg.Pool,
  client: Queryable,
  position: LedgerPosition,
  now: number,
): Promise<boolean> {
  if (isRecordOld(pool, position, now)) return true
  return (await ANY_TO_SCORE.run(client, toScore(keptRecord(pool), now))) > 0
}

/**
 * Scores the open samples that have changed since, and those whose score is older than a quarter of an hour or than the
 * record, at `now` (ms UTC), a batch in each transaction. The same ledgers and `now` give the same scores. Returns how
 * many were scored.
 */
export async function scoreWhatIsDue(pool: pg.Pool, now: number): Promise<number> {
  const record = await laneRecord(pool, now)
  for (let scored = 0; ; ) {
    const batch = await asWriter(pool, async (client) =>
      scoreBatch(client, await currentRegister(pool, client), record, now),
    )
    scored += batch
    if (batch < BATCH) return scored
  }
}

const running = new WeakMap<pg.Pool, Promise<boolean>>()

/**
 * Scores what is due at `now` (ms UTC), and returns true when that is done, or false when `patienceMs` have passed; then
 * it goes on by itself. Who comes while it runs waits for the same. What goes wrong is said on standard error.
 */
export async function scoreWhile(pool: pg.Pool, now: number, patienceMs: number): Promise<boolean> {
  let scoring = running.get(pool)
  if (!scoring) {
    scoring = scoreWhatIsDue(pool, now)
      .then(() => true)
      .catch((error: Error) => {
        console.error(`Scores could not be worked out: ${error.stack}`)
        return false
      })
      .finally(() => running.delete(pool))
    running.set(pool, scoring)
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
   from (select code, scored_at from forecast where ${TO_SCORE}
         order by scored_at nulls first, code limit ${BATCH}) as due
   join sample using (code)`,
)

async function scoreBatch(
  client: Queryable,
  register: Register,
  record: LaneRecord,
  now: number,
): Promise<number> {
  const rows = await OLDEST.all(client, toScore(record, now))
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
  record: LaneRecord,
  now: number,
): Promise<void> {
  if (rows.length === 0) return
  const scored = rows.map((row) => forecastRow(row, register, record, now))
  await WRITE.run(client, [JSON.stringify(scored)])
}

function forecastRow(row: OpenSample, register: Register, record: LaneRecord, now: number) {
  const journey = readJourney(row)
  const score = scoreOf({ journey, clocks: row.clocks }, register.thresholdsOf(row.protocol), record, now)
  const text = (at: number | null | undefined) => (at == null ? null : instantText(at))
  return {
    code: row.code,
    limit_name: score?.limit ?? null,
    tight_at: text(score?.tightAt),
    at_risk_at: text(score?.atRiskAt),
    risk: score?.binding?.risk ?? null,
    low: score?.binding?.low ?? null,
    high: score?.binding?.high ?? null,
    needs_opening: score?.binding?.needsOpening ?? false,
    detail: score && storedForecast(score),
    scored_at: instantText(now),
  }
}
