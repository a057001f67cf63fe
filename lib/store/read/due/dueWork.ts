import type pg from 'pg'
import { listEntries, Register } from '@/lib/custody/register'
import type { RegisterDocument } from '@/lib/custody/registerDocument'
import type { DutyContent } from '@/lib/custody/testingEntries'
import { computeDaysWithin } from '@/lib/lane/forecast/daysWithin'
import { TRANSIT } from '@/lib/lane/model/lanes'
import type { TransitModel } from '@/lib/lane/model/transitModel'
import { includesSample, type Scope } from '@/lib/policy/scope'
import { DutySamples } from '@/lib/schedule/dutySamples'
import { findTestedProduct } from '@/lib/schedule/occurrences'
import { findOverdue } from '@/lib/schedule/overdue'
import type { Overdue } from '@/lib/schedule/overdueKinds'
import { findNextTest, findOwedTests, type OwedTest, type Pace } from '@/lib/schedule/owedTests'
import { type SetAside, splitSetAside } from '@/lib/schedule/setAside'
import { getRegister } from '../../ledger/currentRegister'
import { withReadTransaction } from '../../projection/readTransaction'
import { getCachedTransitModel, getTransitModel } from '../../projection/transitModelCache'
import { readOffice, toOfficeCalendar } from '../../register/office'
import { setScope, withScope } from '../../scope/scope'
import { readActionableSamples } from './sampleCache'
import { listSetAsides } from './setAsides'

/** What is owed and overdue at one time, in a scope. */
export interface DueWork {
  /** ms UTC. */
  asOf: number
  /** Ordered by the day on which the report is due. */
  owed: OwedTest[]
  /** Overdue and not set aside, longest overdue first. */
  overdue: Overdue[]
  /** Overdue and set aside, in the same order. */
  setAside: { overdue: Overdue; entry: SetAside }[]
  /** Names of the plants and laboratories concerned, by code. */
  places: ReadonlyMap<string, string>
  products: ReadonlyMap<string, string>
  /** Zones of the same plants and laboratories, by code. */
  zones: ReadonlyMap<string, string>
}

/**
 * The tests owed with a first act within `aheadDays`, and what is overdue, at `now` (ms UTC): those of the scope's plants
 * and laboratories. A scope of plants only reads the samples of these plants: what is due at one depends on no other.
 */
export async function getDueWork(pool: pg.Pool, scope: Scope, now: number, aheadDays = 92): Promise<DueWork> {
  const first = getCachedTransitModel(pool) ?? (await getTransitModel(pool, now))
  return withReadTransaction(pool, 'all', now, async ({ client, register }) => {
    const plants = scope === 'all' || scope.laboratories.length > 0 ? null : scope.plants
    // The transaction refreshes the model if it can do so quickly; otherwise it is at most a quarter of an hour old.
    const model = getCachedTransitModel(pool) ?? first
    const samples = await readActionableSamples(pool, client, register, plants, now)
    const office = toOfficeCalendar(await readOffice(client, register))
    const programme = { register, samples, pace: getPace(model), office, now, plants }
    const dutySamples = new DutySamples(samples, register)
    await setScope(client, scope)
    const setAsides = await listSetAsides(client, now)
    const isSeen = (place: { plant: string; laboratory: string }) => includesSample(scope, place)
    const all = findOwedTests(programme, aheadDays, dutySamples)
    const owed = all.filter(isSeen)
    const overdue = findOverdue(programme, dutySamples, all).filter(isSeen)
    return {
      asOf: now,
      owed,
      ...splitSetAside(overdue, setAsides, now),
      ...getNames([...owed, ...overdue], register),
    }
  })
}

/** How long the stages of the work take, by the transit model. */
export function getPace(model: TransitModel): Pace {
  const atLaboratory = (laboratory: string) => ({ plant: '', laboratory, service: null })
  return {
    medianTransitDays: (lane) => computeDaysWithin(model, TRANSIT, lane, 0.5),
    p90TransitDays: (lane) => computeDaysWithin(model, TRANSIT, lane, 0.9),
    p95TransitDays: (lane) => computeDaysWithin(model, TRANSIT, lane, 0.95),
    p95LoadDays: (laboratory) =>
      computeDaysWithin(model, { from: 'received', to: 'loaded' }, atLaboratory(laboratory), 0.95),
    p95ReportDays: (laboratory) =>
      computeDaysWithin(model, { from: 'loaded', to: 'reported' }, atLaboratory(laboratory), 0.95),
  }
}

function getNames(
  all: readonly { plant: string; laboratory: string; product: string | null }[],
  register: Register,
): Pick<DueWork, 'places' | 'products' | 'zones'> {
  const places = new Map<string, string>()
  const products = new Map<string, string>()
  const zones = new Map<string, string>()
  for (const { plant, laboratory, product } of all) {
    places.set(plant, register.plants.get(plant)?.name ?? plant)
    places.set(laboratory, register.laboratories.get(laboratory)?.name ?? laboratory)
    for (const place of [plant, laboratory]) zones.set(place, register.getZone(place) ?? 'UTC')
    const made = register.findProduct(plant, product)
    if (made) products.set(made.code, made.name)
  }
  return { places, products, zones }
}

/** Whether the register has a duty of one of the scope’s plants or laboratories. */
export function hasDuties(pool: pg.Pool, scope: Scope): Promise<boolean> {
  return withScope(pool, 'all', async (client) => {
    const register = await getRegister(pool, client)
    return [...register.duties.values()].some((duty) => {
      if (scope === 'all' || scope.laboratories.includes(duty.laboratory)) return true
      const plant = register.products.get(findTestedProduct(duty, register) ?? '')?.plant
      return plant !== undefined && scope.plants.includes(plant)
    })
  })
}

/** The number of tests shown after the next one. */
const FURTHER_TESTS = 2

/**
 * The dates of the next tests that a duty of `document` asks for at `now` (ms UTC), by the transit model and the office
 * calendar. The document may differ from the current register. Null without a coming test.
 */
export async function getDutyDates(
  pool: pg.Pool,
  document: RegisterDocument,
  duty: DutyContent,
  now: number,
) {
  const register = new Register(listEntries(document, Number.NEGATIVE_INFINITY))
  const pace = getPace(await getTransitModel(pool, now))
  const office = toOfficeCalendar(await withScope(pool, 'all', (client) => readOffice(client, register)))
  return findNextTest(duty, { register, pace, office, now }, FURTHER_TESTS)
}
