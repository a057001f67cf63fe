import { beforeAll, describe, expect, test } from 'vitest'
import { formatKitCode } from '@/lib/custody/kitCode'
import { NO_ROLES, ROLE_NAMES } from '@/lib/policy/personRoles'
import type { Roles } from '@/lib/policy/principal'
import { listAudiences, mayAccess, ROUTES, type RouteName } from '@/lib/policy/routes'
import { fillTwoMakers, KITS } from '@/tests/access/twoMakers'
import { makeTestKey } from '@/tests/setup/apiKey'
import { makeTestDatabase, type TestDatabase } from '@/tests/setup/database'
import { startTestServer, type TestServer } from '@/tests/setup/server'
import { signInAs } from '@/tests/setup/signIn'
import { CASES, listForeignNames, withoutEcho } from './matrixCases'
import { OBJECTS, type ObjectName } from './matrixObjects'
import { steadyStream } from './steadyStream'

const PEOPLE = {
  administrator: { isAdministrator: true },
  'contact of one plant': { plants: ['PL1'] },
  'contact of two plants': { plants: ['PL1', 'PL3'] },
  'laboratory desk': { laboratories: ['LAB2'] },
  reader: { isReader: true },
  'person with no role': {},
} as const satisfies Record<string, Partial<Roles>>
type Who = 'nobody' | 'key' | keyof typeof PEOPLE
const EVERYONE: Who[] = ['nobody', 'key', ...(Object.keys(PEOPLE) as (keyof typeof PEOPLE)[])]

let database: TestDatabase
let server: TestServer
const headersByActor = new Map<Who, Record<string, string>>()
const sourceByActor = new Map<Who, string>()

beforeAll(async () => {
  database = await makeTestDatabase()
  await fillTwoMakers(database)
  server = await startTestServer(database.url, { HOLDFAST_REQUESTS_A_MINUTE: '1000000' })
  for (const [who, roles] of Object.entries(PEOPLE) as [keyof typeof PEOPLE, Partial<Roles>][]) {
    const { headers, personId } = await signInAs(database, roles)
    headersByActor.set(who, headers)
    sourceByActor.set(who, `hand ${personId}`)
  }
  const secret = await makeTestKey(database, { sources: ['dock'], plants: ['PL1'], maySetRegister: false })
  headersByActor.set('nobody', { 'sec-fetch-site': 'same-origin' })
  headersByActor.set('key', { 'sec-fetch-site': 'same-origin', authorization: `Bearer ${secret}` })
  sourceByActor.set('key', 'dock')
})
interface Answer {
  status: number
  location: string | null
  headers: string
  text: string
}

async function ask(who: Who, route: RouteName, object: ObjectName): Promise<Answer> {
  const [method = '', address = ''] = route.split(' ')
  const { path, body } = CASES[route] ?? { path: () => address }
  const answer = await fetch(server.address + path(object), {
    method: method === 'page' ? 'GET' : method,
    headers: { ...headersByActor.get(who), ...(body ? { 'content-type': 'application/json' } : {}) },
    ...(body ? { body: JSON.stringify(body(object, sourceByActor.get(who) ?? 'nobody')) } : {}),
    redirect: 'manual',
  })
  const { date: _, 'x-request-id': __, ...headers } = Object.fromEntries(answer.headers)
  const nonce = /'nonce-([^']+)'/.exec(headers['content-security-policy'] ?? '')?.[1] ?? 'none'
  const text = (await answer.text()).replaceAll(nonce, 'NONCE')
  return {
    status: answer.status,
    location: answer.headers.get('location'),
    headers: JSON.stringify(headers).replaceAll(nonce, 'NONCE'),
    text,
  }
}

const isReading = (route: RouteName) => /^(page|GET) /.test(route)

/** Asks a reading route once for each asker and address; every test of it looks at that answer. */
function askOnce(route: RouteName): (who: Who, object: ObjectName) => Promise<Answer> {
  const answers = new Map<string, Promise<Answer>>()
  return (who, object) => {
    // Most addresses name no object.
    const key = `${who} ${CASES[route]?.path(object)}`
    const answer = answers.get(key) ?? ask(who, route, object)
    answers.set(key, answer)
    return answer
  }
}

function getAsking(route: RouteName): ReturnType<typeof askOnce> {
  return isReading(route) ? askOnce(route) : (who, object) => ask(who, route, object)
}

const NAMES = Object.keys(ROUTES) as RouteName[]
const principal = (who: Who) =>
  who === 'nobody' || who === 'key'
    ? null
    : { kind: 'person' as const, id: '', email: '', name: '', roles: { ...NO_ROLES, ...PEOPLE[who] } }
const may = (who: Who, route: RouteName) =>
  who === 'key'
    ? (ROUTES[route] as readonly string[]).some((part) => part === 'key' || part === 'anyone')
    : mayAccess(route, principal(who))

test('someone of each role asks', () => {
  const parts = new Set(EVERYONE.flatMap((who) => [...listAudiences(principal(who))]))
  expect([...parts]).toEqual(expect.arrayContaining(ROLE_NAMES))
})

test('each route that is asked about something, or that changes something, says here how', () => {
  const needing = NAMES.filter((name) => /\[|^(POST|PUT|PATCH|DELETE) /.test(name))
  expect(needing.filter((name) => !CASES[name])).toEqual([])
  expect(listAudiences(null)).toEqual(new Set(['anyone']))
})

describe.each(NAMES)('%s', (route) => {
  // Last, since it signs its asker out.
  const isLeaving = route === 'POST /api/sign-out'
  const askers = isLeaving ? EVERYONE.filter((who) => who === 'nobody') : EVERYONE
  const answerTo = getAsking(route)

  test.each(askers.flatMap((who) => OBJECTS.map((object) => [who, object] as const)))(
    'for %s, %s',
    async (who, object) => {
      const { status, location, text } = await answerTo(who, object)
      const isPage = route.startsWith('page ')
      const isKnown = who !== 'nobody' && !(who === 'key' && isPage)
      if (!may(who, route) || (who === 'key' && isPage && !may('nobody', route))) {
        expect(status).toBe(isPage ? (isKnown ? 404 : 307) : isKnown ? 403 : who === 'key' ? 403 : 401)
        if (status === 307) expect(location).toMatch(/\/sign-in(\?|$)/)
        for (const word of listForeignNames().filter((one) => !isEcho(route, object, one)))
          expect(text).not.toContain(word)
        return
      }
      const expected = CASES[route]?.but?.[who] ?? CASES[route]?.status ?? 200
      expect(status, text.slice(0, 300)).toBe(typeof expected === 'number' ? expected : expected[object])
    },
  )

  test.each([
    'contact of one plant',
    'contact of two plants',
    'reader',
    'person with no role',
    'nobody',
    'key',
  ] as const)('tells %s nothing of another maker', async (who) => {
    if (isLeaving) return
    for (const object of OBJECTS) {
      const { text } = await answerTo(who, object)
      for (const word of listForeignNames().filter((one) => !isEcho(route, object, one)))
        expect(text, `${word} for ${object}`).not.toContain(word)
    }
  })

  test.each([
    'contact of one plant',
    'contact of two plants',
    'key',
    'reader',
    'person with no role',
    'nobody',
  ] as const)('answers %s the same of what is another’s and of what is nowhere', async (who) => {
    if (isLeaving) return
    const [foreign, absent] = [await answerTo(who, 'foreign'), await answerTo(who, 'absent')]
    const steady = (answer: Answer, object: ObjectName) => steadyStream(withoutEcho(answer.text, object))
    expect(steady(foreign, 'foreign')).toBe(steady(absent, 'absent'))
    expect(withoutEcho(foreign.headers, 'foreign')).toBe(withoutEcho(absent.headers, 'absent'))
    expect(foreign.status).toBe(absent.status)
  })
})

test('the words looked for are there for who may see them', async () => {
  const { text: page } = await ask('administrator', 'page /samples/[code]', 'foreign')
  const { text: board } = await ask('administrator', 'GET /api/board', 'foreign')
  for (const word of listForeignNames().filter((one) => !one.includes(KITS['PL2 LAB2'].slice(4))))
    expect(page + board).toContain(word)
})

test.each(NAMES.filter((name) => name !== 'POST /api/sign-out'))(
  '%s tells a desk nothing of another laboratory’s samples',
  async (route) => {
    const answerTo = getAsking(route)
    for (const object of OBJECTS) {
      const { text } = await answerTo('laboratory desk', object)
      for (const code of [KITS['PL1 LAB'], KITS['PL2 LAB']].flatMap((one) => [one, formatKitCode(one)]))
        if (!isEcho(route, object, code)) expect(text, object).not.toContain(code)
    }
  },
)

/** The code that was asked for is said back, whoever's it is. */
const isEcho = (route: RouteName, object: ObjectName, word: string) => {
  const asked = CASES[route]
  return (
    JSON.stringify([asked?.path(object), asked?.body?.(object, '')]).includes(word) ||
    isWrittenAs(word, KITS['PL2 LAB'], object)
  )
}
const isWrittenAs = (word: string, code: string, object: ObjectName) =>
  object === 'foreign' && word.replace('-', '') === code
