import nodeIcal, { type VEvent } from 'node-ical'
import { beforeAll, describe, expect, test } from 'vitest'
import { UNRESTRICTED } from '@/lib/custody/event'
import { formatKitCode } from '@/lib/custody/kitCode'
import { acceptEvents } from '@/lib/store/projection/acceptEvents'
import { wire } from '@/tests/cases/smallProgramme'
import { makeTestDatabase, type TestDatabase } from '@/tests/setup/database'
import { startTestServer, type TestServer } from '@/tests/setup/server'
import { ADMINISTRATOR, type SignedIn, signInAs } from '@/tests/setup/signIn'
import { addDueSamples, DUE_KITS, FOREIGN } from './dueProgramme'

let database: TestDatabase
let server: TestServer
let contact: SignedIn
let administrator: SignedIn
beforeAll(async () => {
  database = await makeTestDatabase()
  await addDueSamples(database, Date.now())
  server = await startTestServer(database.url)
  contact = await signInAs(database, { plants: ['PL1'] })
  administrator = await signInAs(database, ADMINISTRATOR)
})

async function post(who: SignedIn, path: string, fields: Record<string, string> = {}): Promise<string> {
  const reply = await fetch(server.address + path, {
    method: 'POST',
    headers: { ...who.headers, 'content-type': 'application/x-www-form-urlencoded' },
    body: new URLSearchParams(fields),
    redirect: 'manual',
  })
  expect(reply.status).toBe(303)
  return reply.headers.get('location')?.replace(server.address, '') ?? ''
}

const page = async (who: SignedIn, path: string) =>
  (await fetch(server.address + path, { headers: who.headers })).text()

/** Makes an address as a person does, and reads it off the page that shows it once. */
async function addressFor(who: SignedIn, plant: string): Promise<string> {
  const shown = await page(who, await post(who, '/api/due/feeds', { plant }))
  const address = /\/api\/calendar\/[\w-]{43}/.exec(shown)?.[0]
  if (!address) throw new Error('No address is shown.')
  return address
}

const ask = (address: string, headers: Record<string, string> = {}) =>
  fetch(server.address + address, { headers })
const parseEvents = (text: string) =>
  Object.values(nodeIcal.sync.parseICS(text)).filter(
    (one): one is VEvent => typeof one === 'object' && one?.type === 'VEVENT',
  )

describe('the calendar of a plant', () => {
  test('is read without a session: what is overdue today, what is due, and nothing of another maker', async () => {
    const reply = await ask(await addressFor(contact, 'PL1'))
    expect([reply.status, reply.headers.get('content-type'), reply.headers.get('set-cookie')]).toEqual([
      200,
      'text/calendar; charset=utf-8',
      null,
    ])
    const text = await reply.text()
    const events = parseEvents(text)
    const summaries = events.map(({ summary }) => summary)
    expect(summaries).toContain(`Overdue: Send a copy of the form for ${formatKitCode(DUE_KITS.own)}`)
    expect(summaries).toContain(
      `Overdue with the programme: Issue a kit to replace ${formatKitCode(DUE_KITS.ownLost)}`,
    )
    expect(summaries.some((one) => String(one).startsWith('A laboratory: Issue the report on'))).toBe(true)
    expect(text).toContain('NAME:Due at A plant\\, with\\; a comma\r\n')
    const unfolded = text.replace(/\r\n /g, '')
    for (const word of [...FOREIGN, formatKitCode(DUE_KITS.foreign), DUE_KITS.foreignLost])
      expect(unfolded).not.toContain(word)
    const url = events[0]?.url as unknown as { val: string }
    const { pathname, search } = new URL(url.val)
    expect(await page(contact, pathname + search)).toContain('copy of the form')
  })

  test('says the same as the same version, in English whatever is asked for, and of a change another', async () => {
    const address = await addressFor(administrator, 'PL1')
    const read = async () => (await ask(address)).text()
    const before = await read()
    expect(await read()).toBe(before)
    expect(await (await ask(address, { 'accept-language': 'en-XA' })).text()).toBe(before)
    const sample = DUE_KITS.own
    const received = { source: 'lab', sample, id: 'in', kind: 'received', at: new Date().toISOString() }
    const copy = { source: 'lab', sample, id: 'copy', kind: 'form copy', at: new Date().toISOString() }
    await acceptEvents(database.app, wire(received, copy), UNRESTRICTED, Date.now())
    const after = parseEvents(await read())
    expect(after.some(({ summary }) => String(summary).includes('copy of the form'))).toBe(false)
    const report = (events: VEvent[]) =>
      events.find(({ summary }) => String(summary).includes('Issue the report'))
    expect(report(after)?.uid).toBe(report(parseEvents(before))?.uid)
  })
})

describe('the address of a calendar', () => {
  test('is shown once, and the page of another contact of the plant has it only by who made it', async () => {
    const path = await post(contact, '/api/due/feeds', { plant: 'PL1' })
    expect(await page(contact, path)).toMatch(/\/api\/calendar\/[\w-]{43}/)
    expect(await page(contact, path)).not.toMatch(/\/api\/calendar\/[\w-]{43}/)
    const colleague = await signInAs(database, { plants: ['PL1'] })
    const seen = await page(colleague, '/due')
    expect(seen).toContain('created by')
    expect(seen).not.toMatch(/\/api\/calendar\/[\w-]{43}/)
    expect(await page(await signInAs(database, { plants: ['PL2'] }), '/due')).not.toContain('created by')
  })

  test('is made for no plant of another, with the same answer as for none', async () => {
    const before = await database.owner.query('select count(*) from calendar_feed')
    const made = await Promise.all(
      ['PL2', 'PL9', ''].map((plant) => post(contact, '/api/due/feeds', { plant })),
    )
    expect(new Set(made)).toEqual(new Set(['/due?made=none#calendars']))
    expect((await database.owner.query('select count(*) from calendar_feed')).rows).toEqual(before.rows)
    const said = await page(contact, '/due?made=none')
    expect(said).toContain('the plant is not one of yours')
    expect(said).not.toContain('already been shown')
  })

  test('that is revoked answers as one that never was, and only those of its plant revoke it', async () => {
    const address = await addressFor(contact, 'PL1')
    const { rows } = await database.owner.query<{ id: string }>(
      'select id from calendar_feed order by made_at desc limit 1',
    )
    const path = `/api/due/feeds/${rows[0]?.id}/revoke`
    const other = await signInAs(database, { plants: ['PL2'] })
    expect(await post(other, path)).toBe('/due?revoked=none#calendars')
    expect((await ask(address)).status).toBe(200)
    expect(await post(contact, path)).toBe('/due?revoked=yes#calendars')
    const [revoked, none] = await Promise.all([ask(address), ask(`/api/calendar/${'x'.repeat(43)}`)])
    expect(revoked.status).toBe(404)
    expect([none.status, await none.text()]).toEqual([revoked.status, await revoked.text()])
  })

  test('is not found by trying: who sends too many that are none waits, and it is on record', async () => {
    const address = await addressFor(administrator, 'PL2')
    for (let tried = 0; tried < 60; tried += 1) await ask(`/api/calendar/guess-${tried}`)
    const waits = await ask('/api/calendar/guess')
    expect([waits.status, Number(waits.headers.get('retry-after')) > 0]).toEqual([429, true])
    expect((await ask(address)).status).toBe(200)
    const { rows } = await database.owner.query(
      `select distinct what, outcome, after ->> 'reason' as reason from audit_entry
       where what like 'tried GET /api/calendar%'`,
    )
    expect(rows).toEqual([
      {
        what: 'tried GET /api/calendar/[secret]',
        outcome: 'refused',
        reason: 'unknown secret',
      },
    ])
    expect(JSON.stringify(rows)).not.toContain('guess')
  })
})
