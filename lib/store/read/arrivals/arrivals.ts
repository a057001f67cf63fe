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
import { ROW_COLUMNS, storedSample, toSampleRow } from '../../projection/sampleRow'
import { SCORED_SAMPLES } from '../../projection/storedForecast'
import { journeyColumn, readJourney } from '../../projection/storedJourney'
import { getTransitModel } from '../../projection/transitModelCache'
import { statement } from '../../scope/statement'
import { getPlantHeading, type PlantHeading } from '../board'
import { type JudgedRow, judgeRows } from '../judged/judgedRow'
import { listJudgedPlants, withJudgedTransaction } from '../judged/programmeIndex'

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
  /** Consignments that have not arrived: late ones first, then the likeliest to come first. */
  coming: ComingConsignment[]
  /** Samples on their way whose arrival no past shipment predicts. */
  unpredicted: number
}

/** The samples under one waybill to one laboratory, or a single sample without a waybill or not yet handed over. */
export interface ComingConsignment {
  samples: JudgedRow[]
  plant: PlantHeading
  service: string | null
  /** When it was handed over, ms UTC; null if it is not yet. */
  handedOverAt: number | null
  /** The chance of arrival on each of the laboratory’s local days. */
  chances: readonly DayChance[]
  /** The laboratory’s local days by which it arrives with a chance of 10, 50 and 90 %. */
  p10: number | null
  p50: number | null
  p90: number | null
  /** The past day by which 19 of 20 such shipments on the lane arrive; null if it is not late. */
  lateSinceDay: number | null
}

const DAYS_AHEAD = 10

const travellingSample = storedSample.extend({ journey: journeyColumn })
type StoredTravel = z.infer<typeof travellingSample>
/** What is stored of a sample under way, and its row. */
interface TravellingSample {
  stored: StoredTravel
  row: JudgedRow
}

const TRAVELLING = statement(
  travellingSample,
  `select ${ROW_COLUMNS}, journey from ${SCORED_SAMPLES}
   where settled is null and stage = any($2)
     and ($1::text[] is null or laboratory = any($1)) and journey is not null
   order by code`,
)

/**
 * The samples in `scope` that are cut and not received by these laboratories (null: any), with the coming open days on
 * which to expect them, at `now` (ms UTC). An unfit one is not waited for.
 */
export async function getArrivals(
  pool: pg.Pool,
  scope: Scope,
  laboratories: readonly string[] | null,
  now: number,
): Promise<Arrivals> {
  const model = await getTransitModel(pool, now)
  const plants = listJudgedPlants(scope)
  return withJudgedTransaction(pool, scope, { plants }, now, async (reader) => {
    const { client, register, isDemo } = reader
    const all = await TRAVELLING.all(client, [laboratories, CUT_AND_NOT_RECEIVED])
    const judged = await judgeRows(
      reader,
      all.map((stored) => toSampleRow(stored, register, now)),
    )
    const rows = judged.flatMap((row, position) =>
      row.judgement?.fitness === 'unfit' ? [] : [{ stored: all[position] as StoredTravel, row }],
    )
    const codes = laboratories ?? [...new Set(rows.map(({ row }) => row.laboratory))].sort()
    return {
      asOf: now,
      isDemo,
      laboratories: codes.flatMap((code) => {
        const entry = register.laboratories.get(code)
        if (!entry) return []
        const bound = rows.filter(({ row }) => row.laboratory === code)
        return {
          code,
          name: entry.name,
          zone: entry.zone,
          ...computeArrivals(code, bound, model, register, now),
        }
      }),
    }
  })
}

function computeArrivals(
  laboratory: string,
  rows: readonly TravellingSample[],
  model: TransitModel,
  register: Register,
  now: number,
): Pick<LaboratoryArrivals, 'days' | 'coming' | 'unpredicted'> {
  const together = new Map<string, TravellingSample[]>()
  for (const one of rows) {
    const key = getConsignmentKey(readJourney(one.stored)) ?? one.row.code
    together.set(key, [...(together.get(key) ?? []), one])
  }
  const coming = [...together.values()].flatMap(
    (samples) => buildConsignment(samples, model, register, now) ?? [],
  )
  const predicted = coming.reduce((sum, { samples }) => sum + samples.length, 0)
  const days = listOpenDays(register.getCalendar(laboratory), now)
  const expected = computeExpectedDays(
    coming.map(({ samples, chances }) => ({ size: samples.length, days: chances })),
    days,
  )
  return { days: expected, coming: coming.sort(compareConsignments), unpredicted: rows.length - predicted }
}

function buildConsignment(
  rows: readonly TravellingSample[],
  model: TransitModel,
  register: Register,
  now: number,
): ComingConsignment | null {
  const [first] = rows
  if (!first) return null
  const plant = register.plants.get(first.row.plant)
  const coming = plant && forecastArrival(readJourney(first.stored), model, now)
  if (!coming) return null
  const service = first.stored.journey.service
  return {
    samples: rows.map(({ row }) => row),
    plant: getPlantHeading(first.row.plant, plant),
    service: service === null ? null : (register.services.get(service)?.name ?? service),
    handedOverAt: first.row.milestones.find(({ milestone }) => milestone === 'dispatched')?.at ?? null,
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

/** Late ones first, the longest late ahead; then by the median day of arrival; then by code. */
function compareConsignments(a: ComingConsignment, b: ComingConsignment): number {
  const never = Number.MAX_SAFE_INTEGER
  return (
    (a.lateSinceDay ?? never) - (b.lateSinceDay ?? never) ||
    (a.p50 ?? never) - (b.p50 ?? never) ||
    ((a.samples[0]?.code ?? '') < (b.samples[0]?.code ?? '') ? -1 : 1)
  )
}
