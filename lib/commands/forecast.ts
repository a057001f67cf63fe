import { stringify } from 'csv-stringify/sync'
import { deriveSamples } from '@/lib/custody/assess'
import type { Sample } from '@/lib/custody/sample'
import { type Clock, getClockState } from '@/lib/hold/clock'
import { computeStandingTimes, getOpenStanding, type Thresholds } from '@/lib/hold/standing'
import { formatIsoDate } from '@/lib/hold/zone'
import { computeForecast, rateByRisk } from '@/lib/lane/forecast/forecast'
import type { Journey } from '@/lib/lane/model/journey'
import { buildTransitModel, type TransitModel } from '@/lib/lane/model/transitModel'
import { getLanePlaces } from '@/lib/store/ledger/lanePlaces'
import { buildJourney, computeKnownAt } from '@/lib/store/projection/buildJourney'
import { runFileCommand } from './fileCommand'
import { readInputs } from './fileInputs'

/**
 * The chance of every running clock to miss its limit, and its likely stop, from a register and a file of events,
 * without a database. Writes CSV, or JSON lines, to standard output. Dates are local to whoever reports the stop; a
 * quantile that the chance of never stopping exceeds is empty. Without a record of transit the risk is empty, and the
 * standing rests on the share of the time used.
 * Exit 0; 1 on a conflict (no table); 2 if a file or an option cannot be used; 3 if lines were refused.
 */
const USAGE =
  'Usage: npm run -s forecast -- --register register.json --events events.ndjson|events.csv|events.json --now 2026-11-10T12:00:00Z [--json]'

const COLUMNS = ['sample', 'limit', 'risk', 'standing', 'p10', 'p50', 'p90'] as const

runFileCommand(() => {
  const inputs = readInputs(USAGE)
  if (!inputs) return 1
  const { register, kits, events, now, json, hasRefused } = inputs
  const samples = deriveSamples(events, kits, register, now)
  const knownAt = computeKnownAt(events)
  const journeys = samples.map((sample) => buildJourney(sample, knownAt))
  const transitModel = buildTransitModel(journeys, getLanePlaces(register), now)
  const rows = samples.flatMap((sample, index) =>
    toRows(sample, journeys[index] as Journey, transitModel, register.getThresholds(sample.protocol), now),
  )
  process.stdout.write(
    json
      ? rows.map((row) => `${JSON.stringify(row)}\n`).join('')
      : stringify(rows, { header: true, columns: [...COLUMNS] }),
  )
  return hasRefused ? 3 : 0
})

/** A row per running clock. */
function toRows(
  sample: Sample,
  journey: Journey,
  transitModel: TransitModel,
  thresholds: Thresholds,
  now: number,
) {
  const running = sample.clocks.filter((clock) => getClockState(clock, now) === 'running')
  return running.map((clock: Clock) => {
    const forecast = computeForecast(clock, journey, transitModel, now)
    return {
      sample: sample.kit.code,
      limit: clock.limit.name,
      // Twelve decimals; rounding errors lie beyond them.
      risk: forecast ? String(Number(forecast.risk.toFixed(12))) : '',
      standing: forecast
        ? rateByRisk(forecast, thresholds)
        : getOpenStanding(computeStandingTimes([clock]), now),
      p10: formatDay(forecast?.p10),
      p50: formatDay(forecast?.p50),
      p90: formatDay(forecast?.p90),
    }
  })
}

function formatDay(day: number | null | undefined): string {
  return day === null || day === undefined ? '' : formatIsoDate(day)
}
