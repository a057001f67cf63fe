import { stringify } from 'csv-stringify/sync'
import { samplesOf } from '@/lib/custody/assess'
import type { Sample } from '@/lib/custody/sample'
import { type Clock, stateAt } from '@/lib/hold/clock'
import { openStanding, type Thresholds, turnsOf } from '@/lib/hold/standing'
import { dayText } from '@/lib/hold/zone'
import { forecastOf, standingByRisk } from '@/lib/lane/forecast/forecast'
import type { Journey } from '@/lib/lane/model/journey'
import { type LaneRecord, recordOf } from '@/lib/lane/model/record'
import { placesOf } from '@/lib/store/ledger/placesOf'
import { journeyOf, knownAtOf } from '@/lib/store/projection/journeyOf'
import { readInputs } from './fileInputs'
import { runOnFiles } from './files'

/**
 * The chance of every running clock to miss its limit, and when it is likely to stop, from a register and a file of
 * events, with no database: CSV (or JSON lines) on standard output. Dates are local to whoever reports the stop; one
 * that the chance of never stopping exceeds is empty. So is the risk where there is no record to tell from; the standing
 * is then by the share of the clock's time that is used.
 * Exit 0; 1 on a conflict (no table); 2 where a file or an option cannot be used; 3 where lines were refused.
 */
const USAGE =
  'Usage: npm run -s forecast -- --register register.json --events events.ndjson|events.csv|events.json --now 2026-11-10T12:00:00Z [--json]'

const COLUMNS = ['sample', 'limit', 'risk', 'standing', 'p10', 'p50', 'p90'] as const

runOnFiles(() => {
  const inputs = readInputs(USAGE)
  if (!inputs) return 1
  const { register, kits, events, now, json, hasRefused } = inputs
  const samples = samplesOf(events, kits, register, now)
  const knownAt = knownAtOf(events)
  const journeys = samples.map((sample) => journeyOf(sample, knownAt))
  const record = recordOf(journeys, placesOf(register), now)
  const rows = samples.flatMap((sample, index) =>
    rowsOf(sample, journeys[index] as Journey, record, register.thresholdsOf(sample.protocol), now),
  )
  process.stdout.write(
    json
      ? rows.map((row) => `${JSON.stringify(row)}\n`).join('')
      : stringify(rows, { header: true, columns: [...COLUMNS] }),
  )
  return hasRefused ? 3 : 0
})

/** A row for each running clock, by the limit's name. */
function rowsOf(sample: Sample, journey: Journey, record: LaneRecord, thresholds: Thresholds, now: number) {
  const running = sample.clocks.filter((clock) => stateAt(clock, now) === 'running')
  return running.map((clock: Clock) => {
    const forecast = forecastOf(clock, journey, record, now)
    return {
      sample: sample.kit.code,
      limit: clock.limit.name,
      // Twelve decimals: what is left of rounding lies beyond them.
      risk: forecast ? String(Number(forecast.risk.toFixed(12))) : '',
      standing: forecast ? standingByRisk(forecast, thresholds) : openStanding(turnsOf([clock]), now),
      p10: dateOf(forecast?.p10),
      p50: dateOf(forecast?.p50),
      p90: dateOf(forecast?.p90),
    }
  })
}

function dateOf(day: number | null | undefined): string {
  return day === null || day === undefined ? '' : dayText(day)
}
