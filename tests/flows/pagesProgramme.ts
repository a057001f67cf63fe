import { generateKitCode } from '@/lib/custody/kitCode'
import { DAY, HOUR } from '@/lib/hold/zone'
import { makeRandom } from '@/tests/bench/manyEvents'
import { smallRegister, UNKNOWN_KIT } from '@/tests/cases/smallProgramme'
import { makeTestDatabase } from '@/tests/setup/database'
import { startTestServer, type TestServer } from '@/tests/setup/server'
import { ADMINISTRATOR, type SignedIn, signInAs } from '@/tests/setup/signIn'
import type { ServedProgramme } from '../setup/signIn'

const random = makeRandom(4242)

/** Kits of the small programme's first plant: cut so long ago that each stands as its name says. */
export const KITS = {
  lapsed: generateKitCode(random),
  atRisk: generateKitCode(random),
  tight: generateKitCode(random),
  sound: generateKitCode(random),
  unused: generateKitCode(random),
}

/** Of the ten days that the small programme's limit gives. */
const CUT_DAYS_AGO = { lapsed: 10.5, atRisk: 9, tight: 7, sound: 1 } as const

/** A server of the small programme with one sample in every standing, one kit unused, one event unplaced and one put right. */
export async function startSmallProgramme(): Promise<ServedProgramme> {
  const database = await makeTestDatabase()
  const started = await startTestServer(database.url)
  const server = { ...started, database, administrator: await signInAs(database, ADMINISTRATOR) }
  const now = Date.now()
  await send(server, 'PUT', '/api/register', smallRegister({ kits: smallKits(now) }))
  await send(server, 'POST', '/api/events', smallEvents(now))
  return server
}

/** The entries of `KITS` in a register. */
export function smallKits(now: number): Record<string, unknown>[] {
  const issuedAt = new Date(now - 30 * DAY).toISOString()
  const kit = { product: 'FELT', plant: 'PL1', laboratory: 'LAB', issuedAt }
  return Object.values(KITS).map((code) => ({ ...kit, code }))
}

/** What has been reported of `KITS` at `now`. */
export function smallEvents(now: number): Record<string, unknown>[] {
  const cut = Object.entries(CUT_DAYS_AGO).map(([name, days]) => ({
    source: 'desk',
    id: `cut ${name}`,
    sample: KITS[name as keyof typeof CUT_DAYS_AGO],
    kind: 'collected',
    at: new Date(now - days * DAY).toISOString(),
  }))
  return [
    ...cut,
    { ...cut[0], id: 'slip', at: new Date(now - 12 * DAY).toISOString() },
    {
      source: 'desk',
      id: 'no slip',
      sample: KITS.lapsed,
      kind: 'withdrawn',
      at: new Date(now).toISOString(),
      corrects: 'desk/slip',
    },
    {
      source: 'carrier',
      id: '1',
      kind: 'scanned',
      at: new Date(now - HOUR).toISOString(),
      service: 'road',
      waybill: 'W1',
    },
    { ...cut[0], id: 'unknown', sample: UNKNOWN_KIT },
    {
      source: 'desk',
      id: 'not unknown',
      sample: KITS.sound,
      kind: 'withdrawn',
      at: new Date(now).toISOString(),
      corrects: 'desk/unknown',
    },
  ]
}

/** Sends JSON to a server of the tests as its administrator, and answers what it says. Errors: where it takes it badly. */
export async function send(
  server: TestServer & { administrator: SignedIn },
  method: string,
  path: string,
  body: unknown,
): Promise<unknown> {
  const answer = await fetch(`${server.address}${path}`, {
    method,
    headers: { ...server.administrator.headers, 'content-type': 'application/json' },
    body: JSON.stringify(body),
  })
  if (!answer.ok) throw new Error(await answer.text())
  return answer.json()
}
