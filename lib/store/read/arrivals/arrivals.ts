import type pg from 'pg'
import type { z } from 'zod'
import type { Register } from '@/lib/custody/register'
import { type Calendar, findOpenDay } from '@/lib/hold/calendar'
import { CUT_AND_NOT_RECEIVED } from '@/lib/hold/milestone'
import { toLocalDay } from '@/lib/hold/zone'
import { forecastArrival } from '@/lib/lane/forecast/arrivalForecast'
import { computeExpectedDays, type ExpectedDay } from '@/lib/lane/forecast/arrivals'
import type { DayChance } from '@/lib/lane/forecast/forecast'
import { getConsignmentKey } from '@/lib/lane/model/journey'
import type { TransitModel } from '@/lib/lane/model/transitModel'
import type { Scope } from '@/lib/policy/scope'
import { withReadTransaction } from '../../projection/readTransaction'
import { ROW_COLUMNS, type SampleRow, storedSample, toSampleRow } from '../../projection/sampleRow'
import { SCORED_SAMPLES } from '../../projection/storedForecast'
import { journeyColumn, readJourney } from '../../projection/storedJourney'
import { getTransitModel } from '../../projection/transitModelCache'
import { statement } from '../../scope/statement'
import { getPlantHeading, type PlantHeading } from '../board'

/** What laboratories should expect, from `asOf` (ms UTC) on. */
export interface Arrivals {
  asOf: number
  isDemo: boolean
  laboratories: LaboratoryArrivals[]
}

export interface LaboratoryArrivals {
  code: string
  name: string
  zone: string
  /** The coming open days, today first if it is one. */
  days: ExpectedDay[]
  /** What is on its way, what is late and what is likeliest to come first ahead: one for each consignment. */
  coming: ComingConsignment[]
  /** Samples on their way of which no record tells when they come. */
  unpredicted: number
}

/** What travels under one waybill to one laboratory, or one sample without a waybill or not yet handed over. */
export interface ComingConsignment {
  samples: SampleRow[]
  plant: PlantHeading
  service: string | null
  /** When it was handed over, ms UTC; null where it is not yet. */
  handedOverAt: number | null
  /** The chance that it comes on each of the laboratory's local days. */
  chances: readonly DayChance[]
  /** The local days of the laboratory by which it has come with a chance of 10, 50 and 90 %. */
  p10: number | null
  p50: number | null
  p90: number | null
  /** By the lane's record nineteen of twenty like it had come by this day, which is over; null where it is not late. */
  lateSinceDay: number | null
}

const DAYS_AHEAD = 10

const travellingSample = storedSample.extend({ journey: journeyColumn })
type TravellingSample = z.infer<typeof travellingSample>

const TRAVELLING = statement(
  travellingSample,
  `select ${ROW_COLUMNS}, journey from ${SCORED_SAMPLES}
   where settled is null and stage = any($2)
     and ($1::text[] is null or laboratory = any($1)) and journey is not null
   order by code`,
)

/**
 * What is on its way to these laboratories (null: to any) and in `scope`, from the cut to the receipt, and on which of the
 * coming open days it is to be expected, at `now` (ms UTC).
 */
export async function getArrivals(
  pool: pg.Pool,
  scope: Scope,
  laboratories: readonly string[] | null,
  now: number,
): Promise<Arrivals> {
  const record = await getTransitModel(pool, now)
  return withReadTransaction(pool, scope, now, async ({ client, register, isDemo }) => {
    const rows = await TRAVELLING.all(client, [laboratories, CUT_AND_NOT_RECEIVED])
    const codes = laboratories ?? [...new Set(rows.map(({ laboratory }) => laboratory))].sort()
    return {
      asOf: now,
      isDemo,
      laboratories: codes.flatMap((code) => {
        const entry = register.laboratories.get(code)
        if (!entry) return []
        const bound = rows.filter(({ laboratory }) => laboratory === code)
        return {
          code,
          name: entry.name,
          zone: entry.zone,
          ...computeArrivals(code, bound, record, register, now),
        }
      }),
    }
  })
}

function computeArrivals(
  laboratory: string,
  rows: readonly TravellingSample[],
  record: TransitModel,
  register: Register,
  now: number,
): Pick<LaboratoryArrivals, 'days' | 'coming' | 'unpredicted'> {
  const together = new Map<string, TravellingSample[]>()
  for (const row of rows) {
    const key = getConsignmentKey(readJourney(row)) ?? row.code
    together.set(key, [...(together.get(key) ?? []), row])
  }
  const coming = [...together.values()].flatMap(
    (samples) => buildConsignment(samples, record, register, now) ?? [],
  )
  const told = coming.reduce((sum, { samples }) => sum + samples.length, 0)
  const days = listOpenDays(register.getCalendar(laboratory), now)
  const expected = computeExpectedDays(
    coming.map(({ samples, chances }) => ({ size: samples.length, days: chances })),
    days,
  )
  return { days: expected, coming: coming.sort(compareConsignments), unpredicted: rows.length - told }
}

function buildConsignment(
  rows: readonly TravellingSample[],
  record: TransitModel,
  register: Register,
  now: number,
): ComingConsignment | null {
  const [first] = rows
  if (!first) return null
  const plant = register.plants.get(first.plant)
  const coming = plant && forecastArrival(readJourney(first), record, now)
  if (!coming) return null
  const samples = rows.map((row) => toSampleRow(row, register, now))
  const service = first.journey.service
  return {
    samples,
    plant: getPlantHeading(first.plant, plant),
    service: service === null ? null : (register.services.get(service)?.name ?? service),
    handedOverAt: first.milestones.find(({ milestone }) => milestone === 'dispatched')?.at ?? null,
    chances: coming.days,
    p10: coming.p10,
    p50: coming.p50,
    p90: coming.p90,
    lateSinceDay: coming.lateSinceDay,
  }
}

function listOpenDays(calendar: Calendar, now: number): number[] {
  const days = [findOpenDay(toLocalDay(now, calendar.zone), 1, calendar)]
  while (days.length < DAYS_AHEAD) days.push(findOpenDay((days.at(-1) as number) + 1, 1, calendar))
  return days
}

/** Late ones ahead, the longest late first; then what is likeliest to come first; then by code. */
function compareConsignments(a: ComingConsignment, b: ComingConsignment): number {
  const never = Number.MAX_SAFE_INTEGER
  return (
    (a.lateSinceDay ?? never) - (b.lateSinceDay ?? never) ||
    (a.p50 ?? never) - (b.p50 ?? never) ||
    ((a.samples[0]?.code ?? '') < (b.samples[0]?.code ?? '') ? -1 : 1)
  )
}
