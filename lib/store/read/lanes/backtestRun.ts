import type pg from 'pg'
import { z } from 'zod'
import { DAY } from '@/lib/hold/zone'
import { backdateHistory } from '@/lib/lane/backtest/backdateHistory'
import { type Backtest, backtest } from '@/lib/lane/backtest/backtest'
import { createPastForecaster } from '@/lib/lane/backtest/pastForecaster'
import { type Scoreboard, scoreInSteps } from '@/lib/lane/backtest/scoreboard'
import type { Subject } from '@/lib/lane/backtest/trial'
import { NEWEST_EVENT_SEQ } from '../../ledger/eventLedger'
import { getLanePlaces } from '../../ledger/lanePlaces'
import { withReadTransaction } from '../../projection/readTransaction'
import { storedClock } from '../../projection/sampleRow'
import { journeyRow, readJourney } from '../../projection/storedJourney'
import { statement } from '../../scope/statement'

/**
 * Forecasts of the last SCORED_DAYS are scored; samples whose kits went out up to TRAINING_DAYS ago are used.
 */
export const SCORED_DAYS = 182
const TRAINING_DAYS = 2 * 365

/** A backtest at a position of the ledgers. Instants in ms UTC. */
export interface BacktestRun {
  asOf: number
  /** Last entries of both ledgers. */
  position: string
  result: Backtest
  board: Scoreboard
}

const storedSubject = journeyRow.extend({ clocks: z.array(storedClock) })

const SUBJECTS = statement(
  storedSubject,
  'select code, plant, laboratory, issued_at, journey, clocks from sample where journey is not null and issued_at > $1',
)

/**
 * Makes the forecasts of the last half year again over all plants, as of `now` (ms UTC). It runs in slices of
 * `SLICE_MS`, or of one fitted stage, and lets the server answer between them.
 */
export async function runBacktest(pool: pg.Pool, position: string, now: number): Promise<BacktestRun> {
  const { subjects, places } = await withReadTransaction(pool, 'all', now, async ({ client, register }) => {
    const rows = await SUBJECTS.all(client, [new Date(now - TRAINING_DAYS * DAY)])
    // Zone and hours of a place removed from the register are unknown.
    const known = rows.filter(
      ({ plant, laboratory }) => register.plants.has(plant) && register.laboratories.has(laboratory),
    )
    return { subjects: known.map(toSubject), places: getLanePlaces(register) }
  })
  const forecaster = createPastForecaster(
    subjects.map(({ journey }) => journey),
    places,
  )
  const since = now - SCORED_DAYS * DAY
  const result = await runInSlices(backtest(subjects, places, now, forecaster, { since }))
  return { asOf: now, position, result, board: await runInSlices(scoreInSteps(result.forecasts)) }
}

const POSITION = statement(
  z.object({ position: z.string() }),
  `select (${NEWEST_EVENT_SEQ}) || ' ' || (select coalesce(max(seq), 0) from register_entry) as position`,
)

/**
 * The last entries of both ledgers. A new run gives the same result until they change or something falls due.
 */
export async function readLedgerPosition(pool: pg.Pool, now: number): Promise<string> {
  const { position } = await withReadTransaction(pool, 'all', now, ({ client }) => POSITION.one(client))
  return position
}

function toSubject(row: z.infer<typeof storedSubject>): Subject {
  return { journey: backdateHistory(readJourney(row)), limits: row.clocks.map(({ limit }) => limit) }
}

const SLICE_MS = 20

/** Runs a generator to its end, and yields to the event loop after each slice. */
async function runInSlices<T>(work: Generator<void, T, void>): Promise<T> {
  for (;;) {
    const startedAt = performance.now()
    do {
      const step = work.next()
      if (step.done) return step.value
    } while (performance.now() - startedAt < SLICE_MS)
    await new Promise(setImmediate)
  }
}
