import { parse } from 'csv-parse/sync'
import { beforeAll, describe, expect, test } from 'vitest'
import { UNRESTRICTED } from '@/lib/custody/event'
import { ROUTES, type RouteName } from '@/lib/policy/routes'
import { acceptEvents } from '@/lib/store/projection/acceptEvents'
import { KITS } from '@/tests/access/twoMakers'
import { wire } from '@/tests/cases/smallProgramme'
import { type AttackedProgramme, startAttacked } from './attackedProgramme'
import { CASES } from './matrixCases'

type ReadingRoute = Extract<RouteName, `GET ${string}`>

/** What is said of a download: what was taken, and of what. */
interface Download {
  path: string
  what: string
  subject: string | null
  after?: object
}

/**
 * Each route that reads, with the line that it leaves; null if it gives out a page's data, a mail, or the state of the
 * server. A route that is missing does not compile.
 */
const READING: Record<ReadingRoute, Download | null> = {
  'GET /api/register': { path: '/api/register', what: 'downloaded the register', subject: null },
  'GET /api/setup/csv': {
    path: '/api/setup/csv?list=protocols',
    what: 'downloaded a list of the register',
    subject: 'protocols',
  },
  'GET /api/setup/people/csv': {
    path: '/api/setup/people/csv',
    what: 'downloaded the list of people',
    subject: null,
  },
  'GET /api/audit': {
    path: '/api/audit?who=person&outcome=done',
    what: 'downloaded the audit log',
    subject: null,
    after: { who: 'person', outcome: 'done' },
  },
  'GET /api/plants/[code]/history': {
    path: '/api/plants/PL2/history',
    what: 'downloaded settled samples',
    subject: 'PL2',
  },
  'GET /api/setup/due': null,
  'GET /api/passkey/[step]': null,
  'GET /api/board': null,
  'GET /api/plants/[code]': null,
  'GET /api/digest/stop': null,
  'GET /api/digest/html': null,
  'GET /api/calendar/[secret]': null,
  'GET /api/health': null,
  'GET /api/ready': null,
  'GET /api/metrics': null,
}
const DOWNLOADS = Object.values(READING).filter((one) => one !== null)

let { database, server, administrator, rival } = {} as AttackedProgramme
beforeAll(async () => {
  ;({ database, server, administrator, rival } = await startAttacked())
  const at = new Date().toISOString()
  const cancelled = [KITS['PL1 LAB'], KITS['PL2 LAB'], KITS['PL2 LAB2']].map((sample) => ({
    ...{ source: 'office', id: sample, sample, kind: 'cancelled', at },
  }))
  await acceptEvents(database.app, wire(...cancelled), UNRESTRICTED, Date.now())
})

const get = (path: string, { headers } = administrator) => fetch(server.address + path, { headers })

async function readLines(): Promise<unknown[]> {
  const { rows } = await database.owner.query(
    `select who, address, what, subject, before, after, outcome from audit_entry
     where what like 'downloaded %' order by seq`,
  )
  return rows
}

/** The number of entries in an answer: the rows of a CSV without its header, or those of all lists of a document. */
async function countRows(answer: Response): Promise<number> {
  const text = await answer.text()
  if (answer.headers.get('content-type')?.startsWith('text/csv')) return parse(text).length - 1
  return Object.values<unknown>(JSON.parse(text)).flat().length
}

describe.each(Object.entries(READING))('%s', (route, download) => {
  test(download ? 'leaves one line each time' : 'gives out no file, and leaves no line', async () => {
    const before = await readLines()
    const path = download?.path ?? CASES[route as ReadingRoute]?.path('own') ?? route.replace('GET ', '')
    const answer = await get(path)
    if (download === null) {
      expect(answer.headers.get('content-disposition') ?? 'inline').toMatch(/^inline/)
      expect(answer.headers.get('content-type') ?? '').not.toContain('csv')
      expect(await readLines()).toEqual(before)
      return
    }
    expect(answer.status).toBe(200)
    const { what, subject, after } = download
    const rows = await countRows(answer)
    expect(rows).toBeGreaterThan(0)
    const line = {
      who: `person ${administrator.personId}`,
      address: '127.0.0.1',
      what,
      subject,
      before: null,
    }
    expect(await readLines()).toEqual([...before, { ...line, after: { rows, ...after }, outcome: 'done' }])
    expect((await get(path)).status).toBe(200)
    expect(await readLines()).toHaveLength(before.length + 2)
  })
})

test('every route that reads is asked here', () => {
  expect(Object.keys(READING).sort()).toEqual(
    Object.keys(ROUTES)
      .filter((name) => name.startsWith('GET '))
      .sort(),
  )
})

test('nothing given out leaves no such line', async () => {
  const before = await readLines()
  for (const { path } of DOWNLOADS) expect([403, 404]).toContain((await get(path, rival)).status)
  expect((await get('/api/setup/csv?list=nothing')).status).toBe(404)
  expect((await get('/api/audit?from=never')).status).toBe(400)
  expect((await get('/api/plants/PL9/history')).status).toBe(404)
  expect(await readLines()).toEqual(before)
})

test('without the line there is no download', async () => {
  await database.owner.query('revoke insert on audit_entry from holdfast_door, holdfast_app')
  for (const { path } of DOWNLOADS) {
    const answer = await get(path)
    expect([answer.status, answer.headers.get('content-type')]).toEqual([500, 'application/problem+json'])
  }
  await database.owner.query('grant insert on audit_entry to holdfast_door, holdfast_app')
})

test('a plant’s contact who downloads their own settled samples leaves a line too', async () => {
  const before = await readLines()
  const answer = await get('/api/plants/PL1/history', rival)
  const rows = await countRows(answer)
  expect(rows).toBe(1)
  expect((await readLines()).slice(before.length)).toMatchObject([
    { who: `person ${rival.personId}`, what: 'downloaded settled samples', subject: 'PL1', after: { rows } },
  ])
})
