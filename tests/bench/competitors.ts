import type pg from 'pg'
import { UNRESTRICTED } from '@/lib/custody/event'
import { generateKitCode } from '@/lib/custody/kitCode'
import { acceptEvents } from '@/lib/store/projection/acceptEvents'
import { applyRegister } from '@/lib/store/register/changeRegister'
import { REGISTER } from '@/tests/access/twoMakers'
import { wire } from '@/tests/cases/smallProgramme'
import { makeRandom } from './manyEvents'
import { countPairsWithWarmUp } from './timingDifference'

export const FOREIGN_OR_UNKNOWN = ["another's", "nowhere's"] as const

/** The waybill of a consignment of ten samples of the other maker. */
export const makeWaybill = (n: number) => `OTHER${Math.floor(n / 10)}`
export const FOREIGN_SOURCE = 'other dock'

/**
 * Fills a database with two plants: the second has a sample in transit for each pair of a bench, the first almost
 * nothing, so that little else takes time. Returns the second's kit codes, and as many unknown ones.
 */
export async function fillCompetitors(pool: pg.Pool): Promise<readonly [string[], string[]]> {
  const random = makeRandom(1618)
  const codes = new Set<string>()
  while (codes.size < 2 * countPairsWithWarmUp()) codes.add(generateKitCode(random))
  const foreign = [...codes].slice(0, countPairsWithWarmUp())
  const now = Date.now()
  const at = (hoursAgo: number) => new Date(now - hoursAgo * 3_600_000).toISOString()
  const kit = { product: 'CORK', plant: 'PL2', laboratory: 'LAB', service: 'road', issuedAt: at(480) }
  await applyRegister(
    pool,
    { ...REGISTER, kits: [...REGISTER.kits, ...foreign.map((code) => ({ ...kit, code }))] },
    now,
  )
  const cut = foreign.map((sample) => ({
    source: FOREIGN_SOURCE,
    id: `${sample} cut`,
    sample,
    kind: 'collected',
    at: at(30),
  }))
  const sent = foreign.map((sample, n) => ({
    source: FOREIGN_SOURCE,
    id: `${sample} sent`,
    sample,
    kind: 'dispatched',
    at: at(20),
    service: 'road',
    waybill: makeWaybill(n),
  }))
  await acceptEvents(pool, wire(...cut, ...sent), UNRESTRICTED, now)
  return [foreign, [...codes].slice(countPairsWithWarmUp())]
}
