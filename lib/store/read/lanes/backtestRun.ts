import type pg from 'pg'
import { z } from 'zod'
import { DAY } from '@/lib/hold/zone'
import { type Backtest, backtest } from '@/lib/lane/backtest/backtest'
import { knownAtItsTime } from '@/lib/lane/backtest/enteredLater'
import { pastForecaster } from '@/lib/lane/backtest/pastForecaster'
import { type Scoreboard, scoring } from '@/lib/lane/backtest/scoreboard'
import type { Subject } from '@/lib/lane/backtest/trial'
import { placesOf } from '../../ledger/placesOf'
import { asReader } from '../../projection/reader'
import { storedClock } from '../../projection/sampleRow'
import { journeyRow, readJourney } from '../../projection/storedJourney'
import { statement } from '../../scope/statement'

/** Forecasts of so many days back are made again, from samples whose kits went out in so many days before that too. */
export const SCORED_DAYS = 182
const LEARNED_DAYS = 2 * 365

/** A backtest as it stands at a position of the ledgers. Instants in ms UTC. */
export interface BacktestRun {
  asOf: number
  /** Where the ledgers stood. */
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
 * Makes the forecasts of the last half year again, as of `now` (ms UTC), over all plants. It works in slices and lets
 * the server answer between them: a slice ends after `SLICE_MS`, or where one stage has been fitted.
 */
export async function runBacktest(pool: pg.Pool, position: string, now: number): Promise<BacktestRun> {
  const { subjects, places } = await asReader(pool, 'all', now, async ({ client, register }) => {
    const rows = await SUBJECTS.all(client, [new Date(now - LEARNED_DAYS * DAY)])
    // Of a place that was taken out of the register neither zone nor hours are known any more.
    const known = rows.filter(
      ({ plant, laboratory }) => register.plants.has(plant) && register.laboratories.has(laboratory),
    )
    return { subjects: known.map(subjectOf), places: placesOf(register) }
  })
  const forecaster = pastForecaster(
    subjects.map(({ journey }) => journey),
    places,
  )
  const since = now - SCORED_DAYS * DAY
  const result = await inSlices(backtest(subjects, places, now, forecaster, { since }))
  return { asOf: now, position, result, board: await inSlices(scoring(result.forecasts)) }
}

const POSITION = statement(
  z.object({ position: z.string() }),
  "select (select coalesce(max(seq), 0) from event) || ' ' || (select coalesce(max(seq), 0) from register_entry) as position",
)

/** Where the ledgers stand: a run made here says the same until they grow, but for what falls due meanwhile. */
export async function ledgerPosition(pool: pg.Pool, now: number): Promise<string> {
  const { position } = await asReader(pool, 'all', now, ({ client }) => POSITION.one(client))
  return position
}

function subjectOf(row: z.infer<typeof storedSubject>): Subject {
  return { journey: knownAtItsTime(readJourney(row)), limits: row.clocks.map(({ limit }) => limit) }
}

const SLICE_MS = 20

/** Runs work that yields to its end, and after each slice whatever waits for the processor. */
async function inSlices<T>(work: Generator<void, T, void>): Promise<T> {
  for (;;) {
    const startedAt = performance.now()
    do {
      const step = work.next()
      if (step.done) return step.value
    } while (performance.now() - startedAt < SLICE_MS)
    await new Promise(setImmediate)
  }
}
