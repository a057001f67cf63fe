import type pg from 'pg'
import type { DutyContent } from '@/lib/custody/owedContents'
import { entriesOf, Register } from '@/lib/custody/register'
import type { RegisterDocument } from '@/lib/custody/registerDocument'
import { daysWithin } from '@/lib/lane/forecast/daysWithin'
import { TRANSIT } from '@/lib/lane/model/lanesOf'
import type { LaneRecord } from '@/lib/lane/model/record'
import { includesSample, type Scope } from '@/lib/policy/scope'
import { DutySamples } from '@/lib/schedule/dutySamples'
import { testedProduct } from '@/lib/schedule/occurrences'
import { overdueOf } from '@/lib/schedule/overdue'
import type { Overdue } from '@/lib/schedule/overdueKinds'
import { nextTest, type Owed, owedOf, type Pace } from '@/lib/schedule/owed'
import { type Snooze, withSnoozes } from '@/lib/schedule/snooze'
import { currentRegister } from '../../ledger/currentRegister'
import { keptRecord, laneRecord } from '../../projection/laneRecord'
import { asReader } from '../../projection/reader'
import { officeDays, officeOf } from '../../register/office'
import { inScope, setScope } from '../../scope/scope'
import { programmeSamples } from './programmeSamples'
import { snoozesAt } from './snoozes'

/** What is owed and overdue at one time, as far as a scope lets see it. */
export interface DueWork {
  /** ms UTC. */
  asOf: number
  /** By the day on which its report is due. */
  owed: Owed[]
  /** What asks for an act now, longest overdue first. */
  pressing: Overdue[]
  /** What is left aside for a while, in the same order. */
  aside: { overdue: Overdue; snooze: Snooze }[]
  /** Names of the plants, laboratories and products that these speak of, by code. */
  places: ReadonlyMap<string, string>
  products: ReadonlyMap<string, string>
  /** Zones of the same plants and laboratories. */
  zones: ReadonlyMap<string, string>
}

/**
 * What is owed with its first act within `aheadDays`, and what is overdue, at `now` (ms UTC), as far as a scope lets see
 * it: the tests of its plants, or for its laboratories. For whoever sees plants only it is worked out over these: what is
 * due at one rests on no other.
 */
export async function dueWork(pool: pg.Pool, scope: Scope, now: number, aheadDays = 92): Promise<DueWork> {
  const first = keptRecord(pool) ?? (await laneRecord(pool, now))
  return asReader(pool, 'all', now, async ({ client, register }) => {
    const plants = scope === 'all' || scope.laboratories.length > 0 ? null : scope.plants
    // Made anew as scores are, while nobody waits for long: an old one is a quarter of an hour old.
    const record = keptRecord(pool) ?? first
    const samples = await programmeSamples(pool, client, register, plants, now)
    const office = officeDays(await officeOf(client, register))
    const programme = { register, samples, pace: paceOf(record), office, now, plants }
    const of = new DutySamples(samples, register)
    await setScope(client, scope)
    const snoozes = await snoozesAt(client, now)
    const isSeen = (place: { plant: string; laboratory: string }) => includesSample(scope, place)
    const all = owedOf(programme, aheadDays, of)
    const owed = all.filter(isSeen)
    const overdue = overdueOf(programme, of, all).filter(isSeen)
    return {
      asOf: now,
      owed,
      ...withSnoozes(overdue, snoozes, now),
      ...namesOf([...owed, ...overdue], register),
    }
  })
}

/** How long parts of the work take by the record of the lanes. */
export function paceOf(record: LaneRecord): Pace {
  const atLaboratory = (laboratory: string) => ({ plant: '', laboratory, service: null })
  return {
    transitHalf: (lane) => daysWithin(record, TRANSIT, lane, 0.5),
    transitNinety: (lane) => daysWithin(record, TRANSIT, lane, 0.9),
    transitNinetyFive: (lane) => daysWithin(record, TRANSIT, lane, 0.95),
    loadNinetyFive: (laboratory) =>
      daysWithin(record, { from: 'received', to: 'loaded' }, atLaboratory(laboratory), 0.95),
    reportNinetyFive: (laboratory) =>
      daysWithin(record, { from: 'loaded', to: 'reported' }, atLaboratory(laboratory), 0.95),
  }
}

function namesOf(
  all: readonly { plant: string; laboratory: string; product: string | null }[],
  register: Register,
): Pick<DueWork, 'places' | 'products' | 'zones'> {
  const places = new Map<string, string>()
  const products = new Map<string, string>()
  const zones = new Map<string, string>()
  for (const { plant, laboratory, product } of all) {
    places.set(plant, register.plants.get(plant)?.name ?? plant)
    places.set(laboratory, register.laboratories.get(laboratory)?.name ?? laboratory)
    for (const place of [plant, laboratory]) zones.set(place, register.zoneOfPlace(place) ?? 'UTC')
    const made = register.productAt(plant, product)
    if (made) products.set(made.code, made.name)
  }
  return { places, products, zones }
}

/** Whether the register has a duty of a plant, or for a laboratory, of a scope. */
export function hasDuties(pool: pg.Pool, scope: Scope): Promise<boolean> {
  return inScope(pool, 'all', async (client) => {
    const register = await currentRegister(pool, client)
    return [...register.duties.values()].some((duty) => {
      if (scope === 'all' || scope.laboratories.includes(duty.laboratory)) return true
      const plant = register.products.get(testedProduct(duty, register) ?? '')?.plant
      return plant !== undefined && scope.plants.includes(plant)
    })
  })
}

/** How many tests after the next are told. */
const MORE = 2

/**
 * The dates that a duty of `document` would give at `now` (ms UTC), by the lanes' record and the office's days: of its
 * next test, and of those after it. The document need not be the register that holds. Null where there is none to come.
 */
export async function dutyDates(pool: pg.Pool, document: RegisterDocument, duty: DutyContent, now: number) {
  const register = new Register(entriesOf(document, Number.NEGATIVE_INFINITY))
  const pace = paceOf(await laneRecord(pool, now))
  const office = officeDays(await inScope(pool, 'all', (client) => officeOf(client, register)))
  return nextTest(duty, { register, pace, office, now }, MORE)
}
