import type { Page } from 'playwright-core'
import { generateKitCode } from '@/lib/custody/kitCode'
import { DAY } from '@/lib/hold/zone'
import { makeRandom } from '@/tests/bench/manyEvents'
import { smallRegister } from '@/tests/cases/smallProgramme'
import { makeTestDatabase, type TestDatabase } from '@/tests/setup/database'
import { startTestServer, type TestServer } from '@/tests/setup/server'
import { ADMINISTRATOR, type SignedIn, signInAs } from '@/tests/setup/signIn'
import { send } from './pagesProgramme'

const random = makeRandom(1414)
const codes = (count: number) => Array.from({ length: count }, () => generateKitCode(random))

/** Kits of PL1 on their way to LAB. */
export const UNDER_WAY = codes(48)
/** Kits of PL1 for LAB whose hand-over nobody reported. */
export const NOT_HANDED_OVER = codes(4)
/** A kit of PL1 on its way to LAB whose limit of ten days is over. */
export const LAPSED = generateKitCode(random)
/** A kit of another maker that is bound for another laboratory. */
export const ELSEWHERE = generateKitCode(random)
/** Codes that no kit has. */
export const UNKNOWN = codes(4)

export interface ReceivingProgramme extends TestServer {
  database: TestDatabase
  administrator: SignedIn
  desk: SignedIn
}

/** A programme with two laboratories. The desk of LAB is to receive what is under way. */
export async function startReceivingProgramme(): Promise<ReceivingProgramme> {
  const database = await makeTestDatabase()
  const server = {
    ...(await startTestServer(database.url)),
    database,
    administrator: await signInAs(database, ADMINISTRATOR),
    desk: await signInAs(database, { laboratories: ['LAB'] }),
  }
  const now = Date.now()
  const issuedAt = new Date(now - 30 * DAY).toISOString()
  const kit = { plant: 'PL1', laboratory: 'LAB', product: 'FELT', issuedAt }
  const { laboratories, ...rest } = smallRegister()
  const [laboratory] = laboratories as Record<string, unknown>[]
  const register = {
    ...rest,
    laboratories: [laboratory, { ...laboratory, code: 'LAB2', name: 'A second laboratory' }],
    kits: [
      ...[...UNDER_WAY, LAPSED, ...NOT_HANDED_OVER].map((code) => ({ ...kit, code })),
      { ...kit, code: ELSEWHERE, plant: 'PL2', product: 'CORK', laboratory: 'LAB2' },
    ],
  }
  await send(server, 'PUT', '/api/register', register)
  const report = (kind: string, daysAgo: number, those = UNDER_WAY) =>
    those.map((sample) => ({
      source: 'desk',
      id: `${kind} ${sample}`,
      kind,
      sample,
      at: new Date(now - daysAgo * DAY).toISOString(),
      ...(kind === 'dispatched' ? { service: 'road', waybill: `W ${sample}` } : {}),
    }))
  await send(server, 'POST', '/api/events', [
    ...report('collected', 3),
    ...report('dispatched', 2),
    ...report('collected', 13, [LAPSED]),
    ...report('dispatched', 12, [LAPSED]),
  ])
  return server
}

/** What is recorded of receipts: for each kit code, or what is written on a box without one, the condition told. */
export async function readReceipts(database: TestDatabase): Promise<Record<string, unknown>[]> {
  const { rows } = await database.owner.query(
    `select e.sample, e.place, e.waybill, e.facts ->> 'writtenOnBox' as written, e.facts -> 'condition' as condition,
       exists (select from unplaced u where u.event_seq = e.seq) as waits
     from event e where e.kind = 'received'
       and not exists (select from event c where c.corrects = e.source || '/' || e.id) order by e.seq`,
  )
  return rows
}

/** Types a text as a scanner does. */
export async function scan(page: Page, text: string): Promise<void> {
  await page.keyboard.type(text)
  await page.keyboard.press('Enter')
}
