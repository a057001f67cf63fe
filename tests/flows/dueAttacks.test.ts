import { beforeAll, describe, expect, test } from 'vitest'
import { UNRESTRICTED } from '@/lib/custody/event'
import { formatKitCode, generateKitCode } from '@/lib/custody/kitCode'
import { NO_ROLES } from '@/lib/policy/personRoles'
import { updatePerson } from '@/lib/store/people/people'
import { acceptEvents } from '@/lib/store/projection/acceptEvents'
import { getDueWork } from '@/lib/store/read/due/dueWork'
import { transact } from '@/lib/store/scope/prisma'
import { makeRandom } from '@/tests/bench/manyEvents'
import { wire } from '@/tests/cases/smallProgramme'
import { makeTestDatabase, type TestDatabase } from '@/tests/setup/database'
import { startTestServer, type TestServer } from '@/tests/setup/server'
import { ADMINISTRATOR, type SignedIn, signInAs } from '@/tests/setup/signIn'
import { FORM } from './attackedProgramme'
import { addDueSamples, DUE_KITS, FOREIGN } from './dueProgramme'

const random = makeRandom(90_210)
const [SPARE, BLANK] = [generateKitCode(random), generateKitCode(random)]

/** A code of the same shape as the other maker's product code. */
const NOWHERE = 'KORC'

let database: TestDatabase
let server: TestServer

/** The contact of the first plant, out to learn of the second and to harm it. */
let rival: SignedIn
let administrator: SignedIn
beforeAll(async () => {
  database = await makeTestDatabase()
  await addDueSamples(database, Date.now(), [SPARE, BLANK])
  server = await startTestServer(database.url)
  rival = await signInAs(database, { plants: ['PL1'] })
  administrator = await signInAs(database, ADMINISTRATOR)
})

const post = (
  headers: Record<string, string>,
  path: string,
  fields: Record<string, string> = {},
): Promise<Response> =>
  fetch(server.address + path, {
    method: 'POST',
    headers: { ...headers, 'content-type': FORM },
    body: new URLSearchParams(fields),
    redirect: 'manual',
  })
const whereTo = (reply: Response) => reply.headers.get('location')?.replace(server.address, '')
const page = async (who: SignedIn, path: string) => {
  const reply = await fetch(server.address + path, { headers: who.headers })
  expect(reply.status).toBe(200)
  return reply.text()
}

/** What stands on a page, without what differs by the time at which it was asked. */
const shown = async (path: string) =>
  ((await page(rival, path)).match(/<main[\s\S]*<\/main>/)?.[0] ?? '')
    .replace(/<script[\s\S]*?<\/script>/g, '')
    .replace(/<[^>]+>/g, ' ')
    .replace(/\d\d:\d\d(:\d\d)?/g, '')
const inDays = (days: number) => new Date(Date.now() + days * 86_400_000).toISOString().slice(0, 10)

describe('a product of another maker that a contact names for a spare kit of their own', () => {
  const now = Date.now() + 60_000
  const theirs = () => getDueWork(database.app, { plants: ['PL2'], laboratories: [] }, now)
  let before: Awaited<ReturnType<typeof theirs>>
  beforeAll(async () => {
    before = await theirs()
    const at = new Date(Date.now() - 86_400_000).toISOString()
    const events = [
      [SPARE, 'CORK'],
      [BLANK, NOWHERE],
    ].map(([sample, product]) => ({
      source: `hand ${rival.personId}`,
      id: `cut ${sample}`,
      sample,
      kind: 'collected',
      at,
      product,
    }))
    const reply = await fetch(`${server.address}/api/events`, {
      method: 'POST',
      headers: { ...rival.headers, 'content-type': 'application/json' },
      body: JSON.stringify(events),
    })
    expect(await reply.json()).toMatchObject({ accepted: 2 })
    // Then a laboratory reports on it without a second look.
    const done = [SPARE, BLANK].flatMap((sample) =>
      ['received', 'loaded', 'reported'].map((kind) => ({
        source: 'lab',
        id: kind + sample,
        sample,
        kind,
        at,
      })),
    )
    await acceptEvents(database.app, wire(...done), UNRESTRICTED, Date.now())
  })

  test('stands for no test of that maker, and neither settles nor shows anything of theirs', async () => {
    const after = await theirs()
    expect(after.owed.length).toBeGreaterThan(0)
    expect([after.owed, after.overdue]).toEqual([before.owed, before.overdue])
    const other = await signInAs(database, { plants: ['PL2'] })
    for (const code of [SPARE, formatKitCode(SPARE)]) expect(await page(other, '/due')).not.toContain(code)
  })

  test('is shown as unknown: no name, no limit, no date of theirs', async () => {
    const alike = (text: string) =>
      text
        .replaceAll(formatKitCode(SPARE), 'KIT')
        .replaceAll(formatKitCode(BLANK), 'KIT')
        .replaceAll(SPARE, 'KIT')
        .replaceAll(BLANK, 'KIT')
        .replaceAll('CORK', NOWHERE)
    const [named, nowhere] = [await shown(`/samples/${SPARE}`), await shown(`/samples/${BLANK}`)]
    expect(named).toContain('CORK')
    expect(alike(named)).toBe(alike(nowhere))
    for (const path of [`/samples/${SPARE}`, '/due', '/', '/plants/PL1', '/api/board'])
      expect(await page(rival, path), path).not.toContain(FOREIGN[2])
    const found = async (search: string) => {
      const board = JSON.stringify(
        await (
          await fetch(`${server.address}/api/board?${new URLSearchParams({ search })}`, {
            headers: rival.headers,
          })
        ).json(),
      )
      return board.includes(SPARE)
    }
    expect([await found('CORK'), await found('Otherwise secret')]).toEqual([true, false])
    const { owed, overdue } = await getDueWork(database.app, { plants: ['PL1'], laboratories: [] }, now)
    for (const one of [...owed, ...overdue]) expect(one.duty).not.toBe('CORK yearly')
  })
})

describe('a form of another site, sent by the browser of someone signed in here', () => {
  const FORMS: [string, () => Record<string, string>][] = [
    [
      '/api/due/snooze',
      () => ({ subject: `form copy missing/${DUE_KITS.own}`, until: inDays(3), reason: 'x' }),
    ],
    ['/api/due/feeds', () => ({ plant: 'PL1' })],
    ['/api/due/feeds/any/revoke', () => ({})],
    ['/api/setup/office', () => ({ zone: 'UTC', mon: 'yes' })],
    ['/api/setup/people/mailbox', () => ({ id: rival.personId, mailbox: 'rival@rival.example' })],
    ['/api/digest/again', () => ({ of: rival.personId, mail: '2026-W48', sure: 'yes' })],
  ]
  test.each(FORMS)('to %s is refused, and nothing is kept', async (path, fields) => {
    const kept = async () =>
      (
        await database.owner.query(
          `select (select count(*) from snooze) as snoozes, (select count(*) from calendar_feed) as feeds,
             (select count(*) from office) as offices, (select count(*) from digest_preference) as mailboxes`,
        )
      ).rows
    const before = await kept()
    const froms: Record<string, string>[] = [
      {},
      { origin: 'null' },
      { origin: 'https://rival.example' },
      { 'sec-fetch-site': 'same-site' },
    ]
    for (const from of froms) {
      const { status } = await post({ cookie: administrator.cookie, ...from }, path, fields())
      expect([403, 421], JSON.stringify(from)).toContain(status)
    }
    expect(await kept()).toEqual(before)
  })
})

describe('a form that sets a task aside', () => {
  const subject = `form copy missing/${DUE_KITS.own}`

  test.each([
    ['a day that is none', { until: '2026-02-30', reason: 'x' }],
    ['a day that no calendar has', { until: '275760-09-13', reason: 'x' }],
    ['a day far off', { until: '9999-12-31', reason: 'x' }],
    ['a reason that is too long', { until: inDays(3), reason: 'x'.repeat(501) }],
    ['a reason of blanks', { until: inDays(3), reason: ' \r\n\t' }],
  ])('is refused with %s, and the form is shown again', async (_, fields) => {
    const reply = await post(rival.headers, '/api/due/snooze', { subject, ...fields })
    expect(reply.status).toBe(303)
    expect(whereTo(reply)).toMatch(/^\/due\?aside=[^\r\n]*#leaving$/)
    await page(rival, whereTo(reply) as string)
  })

  test('is refused with a reason that no database can hold', async () => {
    const reply = await post(rival.headers, '/api/due/snooze', {
      subject,
      until: inDays(3),
      reason: 'a\u0000b',
    })
    expect([reply.status, (await reply.json()).title]).toEqual([400, 'Text that cannot be stored'])
  })

  test('never redirects to another site or sets a header, whatever its fields hold', async () => {
    const hostile = '//rival.example/\r\nset-cookie: a=b'
    for (const name of ['plant', 'by', 'subject', 'until', 'reason']) {
      const reply = await post(rival.headers, '/api/due/snooze', {
        subject,
        until: '',
        reason: '',
        [name]: hostile,
      })
      expect(whereTo(reply)).toMatch(/^\/due(\?[\w=&.%+-]*)?(#\w+)?$/)
      expect(reply.headers.get('set-cookie')).toBeNull()
    }
  })

  test('shows its reason as text only', async () => {
    const reason = '</p><script>alert(1)</script>\r\nATTENDEE:mailto:rival@rival.example'
    await post(rival.headers, '/api/due/snooze', { subject, until: inDays(3), reason })
    const html = await page(administrator, '/due')
    expect(html).toContain('&lt;script&gt;alert(1)')
    expect(html).not.toContain('<script>alert(1)')
  })
})

describe('the address of a calendar', () => {
  const make = async () => whereTo(await post(rival.headers, '/api/due/feeds', { plant: 'PL1' }))

  test('is created ten times for a plant by one person, then not until one is revoked', async () => {
    const made = []
    for (let count = 0; count < 11; count += 1) made.push(await make())
    expect(made.map((one) => one === '/due?made=enough#calendars')).toEqual([...Array(10).fill(false), true])
    expect(await page(rival, '/due?made=enough')).toContain('You already have 10 addresses of this plant.')
    const { rows } = await database.owner.query<{ id: string }>('select id from calendar_feed limit 1')
    await post(rival.headers, `/api/due/feeds/${rows[0]?.id}/revoke`)
    expect(await make()).not.toBe('/due?made=enough#calendars')
  })

  test('stops working when its creator is no longer a contact, and looks like one that never was', async () => {
    const leaver = await signInAs(database, { plants: ['PL1'] })
    const made = await post(leaver.headers, '/api/due/feeds', { plant: 'PL1' })
    const address = /\/api\/calendar\/([\w-]{43})/.exec(await page(leaver, whereTo(made) as string))
    const ask = async (path: string) => {
      const reply = await fetch(server.address + path)
      const [type, cache, cookie] = ['content-type', 'cache-control', 'set-cookie'].map((name) =>
        reply.headers.get(name),
      )
      return { status: reply.status, type, cache, cookie, text: await reply.text() }
    }
    const working = await ask(address?.[0] as string)
    expect(working).toMatchObject({ status: 200, cache: 'no-store', cookie: null })
    expect(working.text).not.toContain('ATTENDEE')
    await database.owner.query(`update person_role set place = 'PL2' where person_id = $1`, [leaver.personId])
    const [lost, none] = [await ask(address?.[0] as string), await ask(`/api/calendar/${'x'.repeat(43)}`)]
    expect(lost.status).toBe(404)
    expect(lost).toEqual(none)
    expect(await server.errors()).not.toContain(address?.[1])
  })
})

test('a mail that was sent before its reader was let see less is not shown to them any more', async () => {
  const { authPool } = database
  const [mover, stayer] = await Promise.all([
    signInAs(database, { plants: ['PL1'] }),
    signInAs(database, { plants: ['PL1'] }),
  ])
  // One of them was made before, and its mail server was slow to take it.
  for (const [occasion, sentAt] of [
    ['2026-W40', Date.now() - 86_400_000],
    ['2026-W41', Date.now() + 60_000],
  ] as const)
    await authPool.query(
      `insert into digest_mail (person_id, occasion, due_at, state, subject, body_text, body_html, ended_at)
       select id, $3, $2, 'sent', 'Holdfast', 'Felt tile, as text', '<head></head>Felt tile', $2
       from unnest($1::text[]) as person (id)`,
      [[mover.personId, stayer.personId], new Date(sentAt), occasion],
    )
  const roles = { ...NO_ROLES, plants: ['PL1'] }
  const before = { email: mover.email, name: 'Mover', zone: 'UTC', roles, hasLeft: false }
  const after = { ...before, roles: { ...roles, plants: ['PL2'] } }
  const actor = { who: 'command', name: 'a test', address: null }
  await transact(authPool, async (db, audit) =>
    audit(actor, Date.now(), ...(await updatePerson(db, mover.personId, { before, after }, Date.now()))),
  )
  for (const week of ['2026-W40', '2026-W41']) {
    const asks = `of=${mover.personId}&occasion=${week}`
    const html = (who: SignedIn) =>
      fetch(`${server.address}/api/digest/html?${asks}`, { headers: who.headers })
    const answers = await Promise.all([mover, stayer, administrator].map(html))
    expect(answers.map(({ status }) => status)).toEqual([404, 200, 200])
    const path = `/digest?of=${mover.personId}&mail=${week}`
    expect(await page(mover, path)).toContain('It is not shown here')
    expect(await page(mover, path)).not.toContain('Felt tile')
    expect(await page(stayer, path)).toContain('Felt tile')
  }
})
