import { beforeAll, describe, expect, test } from 'vitest'
import { UNRESTRICTED } from '@/lib/custody/event'
import { formatKitCode } from '@/lib/custody/kitCode'
import { NO_ROLES, type Roles } from '@/lib/policy/personRoles'
import { ROUTES, type RouteName } from '@/lib/policy/routes'
import { toScope } from '@/lib/policy/scope'
import { acceptEvents } from '@/lib/store/projection/acceptEvents'
import { getSampleDossier } from '@/lib/store/read/sample/sampleDossier'
import { applyRegister } from '@/lib/store/register/changeRegister'
import { fillTwoMakers, KITS, REGISTER } from '@/tests/access/twoMakers'
import { wire } from '@/tests/cases/smallProgramme'
import { makeTestDatabase, type TestDatabase } from '@/tests/setup/database'
import { startTestServer, type TestServer } from '@/tests/setup/server'
import { ADMINISTRATOR, type SignedIn, signInAs } from '@/tests/setup/signIn'
import { CASES } from './matrixCases'

/** Bound for the second laboratory, and lapsed. A kit of the other maker, bound for the first laboratory, replaces it. */
const LAPSED = KITS['PL1 LAB2']
/** Bound for the second laboratory, and settled. Kits of the first laboratory replace it, and were replaced by it. */
const SETTLED = KITS['PL2 LAB2']
const [FIRST, SECOND] = [KITS['PL1 LAB'], KITS['PL2 LAB']]

const DAY_MS = 86_400_000

let database: TestDatabase
let server: TestServer
let administrator: SignedIn
beforeAll(async () => {
  database = await makeTestDatabase()
  await fillTwoMakers(database)
  const now = Date.now()
  const replacing = { [SETTLED]: SECOND }
  const kits = REGISTER.kits.map((kit) => ({ ...kit, replaces: replacing[kit.code] }))
  await applyRegister(database.app, { ...REGISTER, kits }, now)
  const say = (id: string, sample: string, kind: string, daysAgo: number, facts?: object) => ({
    ...{ source: 'office', id, sample, kind, at: new Date(now - daysAgo * DAY_MS).toISOString() },
    ...(facts ? { facts } : {}),
  })
  const events = [
    say('1', LAPSED, 'collected', 19, { 'moved from': SECOND }),
    say('2', LAPSED, 'replaced by', 1, { kit: formatKitCode(SECOND), reason: 'too late' }),
    say('3', SETTLED, 'replaced by', 1, { kit: FIRST }),
    say('4', SETTLED, 'scanned', 1, { 'moved from': FIRST, 'moved because': 'a slip' }),
    say('5', SETTLED, 'cancelled', 0.5),
  ]
  await acceptEvents(database.app, wire(...events), UNRESTRICTED, now)
  server = await startTestServer(database.url, { HOLDFAST_REQUESTS_A_MINUTE: '1000000' })
  administrator = await signInAs(database, ADMINISTRATOR)
})

const READERS: { name: string; roles: Partial<Roles>; samples: string[]; hidden: string[] }[] = [
  {
    name: 'the desk of the second laboratory',
    roles: { laboratories: ['LAB2'] },
    samples: [LAPSED, SETTLED],
    hidden: [FIRST, SECOND],
  },
  { name: 'the first plant', roles: { plants: ['PL1'] }, samples: [LAPSED], hidden: [SECOND, SETTLED] },
  { name: 'the second plant', roles: { plants: ['PL2'] }, samples: [SETTLED], hidden: [FIRST, LAPSED] },
]

/** Everything that can be read: each page and route by its plain or its own address, and what names these samples. */
function listAddresses(samples: readonly string[]): string[] {
  const reading = (Object.keys(ROUTES) as RouteName[]).filter((name) => /^(page|GET) /.test(name))
  return [
    ...reading.map((name) => CASES[name]?.path('own') ?? name.replace(/^\S+ /, '')),
    ...['PL1', 'PL2'].flatMap((plant) => [
      `/plants/${plant}`,
      `/plants/${plant}/history`,
      `/api/plants/${plant}`,
      `/api/plants/${plant}/history`,
    ]),
    ...samples.flatMap((code) => [
      `/samples/${code}`,
      `/samples/${code}?change=office/2`,
      `/?search=${code}`,
      `/api/board?search=${code}`,
    ]),
    '/api/board',
    // The next weekly mail.
    '/api/digest/html',
  ]
}

const getText = async (path: string, { headers }: SignedIn) =>
  (await fetch(server.address + path, { headers, redirect: 'manual' })).text()

describe.each(READERS)('$name', ({ roles, samples, hidden }) => {
  let reader: SignedIn
  beforeAll(async () => {
    reader = await signInAs(database, roles)
  })

  test('finds no code of a kit that is not theirs, on no page and in no answer', async () => {
    for (const path of listAddresses(samples)) {
      const text = await getText(path, reader)
      for (const code of hidden.flatMap((one) => [one, formatKitCode(one), one.toLowerCase()]))
        if (!path.includes(code)) expect(text, path).not.toContain(code)
    }
  })

  test('reads that the sample is replaced', async () => {
    for (const code of samples)
      expect(await getText(`/samples/${code}`, reader)).toContain('It is replaced by another kit')
    if (samples.includes(LAPSED)) {
      expect(await getText(`/?search=${LAPSED}`, reader)).toContain('replaced by another kit')
      expect(await getText('/api/board', reader)).toContain('"replacedBy":""')
    }
  })

  test('is given none of these codes by what mails are made of', async () => {
    const scope = toScope({ ...NO_ROLES, ...roles })
    for (const code of samples) {
      const dossier = JSON.stringify(await getSampleDossier(database.app, scope, code, Date.now()))
      expect(dossier).toContain(code)
      for (const other of hidden.flatMap((one) => [one, formatKitCode(one)]))
        expect(dossier).not.toContain(other)
    }
  })
})

test('an administrator reads which kits they are', async () => {
  expect(await getText(`/samples/${LAPSED}`, administrator)).toContain(`/samples/${SECOND}`)
  const settled = await getText(`/samples/${SETTLED}`, administrator)
  for (const code of [FIRST, SECOND]) expect(settled).toContain(`/samples/${code}`)
  expect(settled).toContain(`moved from: ${FIRST}`)
  expect(await getText('/api/plants/PL2/history', administrator)).toContain(FIRST)
})

test('a plant reads the code of its own kit, whatever laboratory it is bound for', async () => {
  const contact = await signInAs(database, { plants: ['PL2'] })
  const page = await getText(`/samples/${SETTLED}`, contact)
  expect(page).toContain(`/samples/${SECOND}`)
})

test('a correction keeps what its author is not shown', async () => {
  const contact = await signInAs(database, { plants: ['PL1'] })
  const at = new Date(Date.now() - 18 * DAY_MS).toISOString()
  const fields = {
    sample: LAPSED,
    kind: 'collected',
    corrects: 'office/1',
    date: at.slice(0, 10),
    time: '12:00',
  }
  const answer = await fetch(`${server.address}/api/record`, {
    method: 'POST',
    headers: contact.headers,
    body: new URLSearchParams({ token: 'a-token-of-the-tests-1', ...fields }),
    redirect: 'manual',
  })
  expect(answer.headers.get('location')).toContain('done=')
  const { rows } = await database.owner.query(`select facts from event where corrects = 'office/1'`)
  expect(rows).toMatchObject([{ facts: { 'moved from': SECOND } }])
  expect(await getText(`/samples/${LAPSED}`, contact)).not.toContain(SECOND)
})
