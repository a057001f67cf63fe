import type pg from 'pg'
import { listEntries, Register } from '@/lib/custody/register'
import type { RegisterDocument } from '@/lib/custody/registerDocument'
import type { DutyContent } from '@/lib/custody/testingEntries'
import { type JudgedSubject, judgeAll } from '@/lib/judgement/judgeAll'
import { listMissingRanges } from '@/lib/judgement/missingRanges'
import { findOverdue } from '@/lib/judgement/overdue'
import type { Overdue } from '@/lib/judgement/overdueKinds'
import { type SetAside, splitSetAside } from '@/lib/judgement/setAside'
import { applyJudgements } from '@/lib/judgement/testActs'
import { includesSample, type Scope } from '@/lib/policy/scope'
import { findTestedProduct } from '@/lib/schedule/occurrences'
import { findNextTest, type OwedTest } from '@/lib/schedule/owedTests'
import { getRegister } from '../../ledger/currentRegister'
import { getTransitModel } from '../../projection/transitModelCache'
import { readOffice, toOfficeCalendar } from '../../register/office'
import { withScope } from '../../scope/scope'
import { getPace, listJudgedPlants, withJudgedTransaction } from '../judged/programmeIndex'
import { listSetAsides } from './setAsides'

/** What is owed and overdue at one time, in a scope. */
export interface DueWork {
  /** ms UTC. */
  asOf: number
  /** Ordered by the day on which the report is due. */
  owed: OwedTest[]
  /** Overdue and not set aside, most urgent first. */
  overdue: Overdue[]
  /** Overdue and set aside, in the same order. */
  setAside: { overdue: Overdue; entry: SetAside }[]
  /** The samples of which something is asked, with their judgements. What they need next changes the acts of `owed`. */
  judged: JudgedSubject[]
  /** Protocols that do not say which temperatures are right although receipts tell some; empty unless the scope is all. */
  missingRanges: string[]
  /** Names of the plants and laboratories concerned, by code. */
  places: ReadonlyMap<string, string>
  products: ReadonlyMap<string, string>
  /** Zones of the same plants and laboratories, by code. */
  zones: ReadonlyMap<string, string>
  /** The zone of the programme's office. */
  officeZone: string
}

/**
 * The tests owed with a first act within `aheadDays`, and what is overdue, at `now` (ms UTC): those of the scope's plants
 * and laboratories.
 */
export async function getDueWork(pool: pg.Pool, scope: Scope, now: number, aheadDays = 92): Promise<DueWork> {
  const plants = listJudgedPlants(scope)
  return withJudgedTransaction(
    pool,
    scope,
    { plants, aheadDays },
    now,
    async ({ client, register, index }) => {
      const setAsides = await listSetAsides(client, now)
      const isSeen = (place: { plant: string; laboratory: string }) => includesSample(scope, place)
      const all = judgeAll(index)
      const judged = all.filter((one) => one.judgement.acts.length > 0 && isSeen(one))
      const owed = applyJudgements(index.owed, all, now).filter(isSeen)
      const overdue = findOverdue(index, all).filter(isSeen)
      return {
        asOf: now,
        owed,
        ...splitSetAside(overdue, setAsides, now),
        judged,
        officeZone: index.programme.office.zone,
        missingRanges: scope === 'all' ? listMissingRanges(index.programme.samples) : [],
        ...getNames([...owed, ...overdue, ...judged], register),
      }
    },
  )
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
