import type { BrowserContextOptions } from 'playwright-core'
import { generateKitCode } from '@/lib/custody/kitCode'
import { DAY } from '@/lib/hold/zone'
import type { Roles } from '@/lib/policy/principal'
import { makeRandom } from '@/tests/bench/manyEvents'
import { smallRegister } from '@/tests/cases/smallProgramme'
import { makeTestDatabase, type TestDatabase } from '@/tests/setup/database'
import { startTestServer, type TestServer } from '@/tests/setup/server'
import { ADMINISTRATOR, type SignedIn, signInAs } from '@/tests/setup/signIn'
import { send } from './pagesProgramme'

const random = makeRandom(8181)
const codes = (count: number) => Array.from({ length: count }, () => generateKitCode(random))

/** Kits of a programme in which everything is recorded by hand: nine of PL1, one of another maker, and a spare one. */
export const OWN = codes(10)
export const FOREIGN = generateKitCode(random)
export const SPARE = generateKitCode(random)
export const ABSENT = generateKitCode(random)

export const CONTACT: Partial<Roles> = { plants: ['PL1'] }
export const DESK: Partial<Roles> = { laboratories: ['LAB'] }

export interface HandProgramme extends TestServer {
  database: TestDatabase
  administrator: SignedIn
  contact: SignedIn
  desk: SignedIn
}

/** A programme whose kits are issued and have no events, with a person of each role signed in. */
export async function startHandProgramme(): Promise<HandProgramme> {
  const database = await makeTestDatabase()
  const server = {
    ...(await startTestServer(database.url)),
    database,
    administrator: await signInAs(database, ADMINISTRATOR),
    contact: await signInAs(database, CONTACT),
    desk: await signInAs(database, DESK),
  }
  const issuedAt = new Date(Date.now() - 30 * DAY).toISOString()
  const kit = { plant: 'PL1', laboratory: 'LAB', issuedAt }
  const kits = [
    ...OWN.map((code) => ({ ...kit, code, product: 'FELT' })),
    { ...kit, code: FOREIGN, plant: 'PL2', product: 'CORK' },
    { ...kit, code: SPARE },
  ]
  await send(server, 'PUT', '/api/register', smallRegister({ kits }))
  return server
}

/** A phone: a narrow touch screen. */
export const PHONE: BrowserContextOptions = {
  viewport: { width: 390, height: 844 },
  hasTouch: true,
  isMobile: true,
}

let tokens = 0

/** Records by JSON instead of a form, under a new token unless one is given. */
export async function recordAs(
  server: TestServer,
  person: SignedIn,
  body: Record<string, unknown>,
  path = '/api/record',
): Promise<{ status: number; answer: Record<string, unknown> }> {
  tokens += 1
  const answer = await fetch(`${server.address}${path}`, {
    method: 'POST',
    headers: { ...person.headers, 'content-type': 'application/json' },
    body: JSON.stringify({ token: `token-of-the-tests-${tokens}`, ...body }),
  })
  return { status: answer.status, answer: (await answer.json()) as Record<string, unknown> }
}
