import { beforeAll, describe, expect, test } from 'vitest'
import { UNRESTRICTED } from '@/lib/custody/event'
import { formatKitCode } from '@/lib/custody/kitCode'
import { readRegisterDocument } from '@/lib/store/ledger/registerEntries'
import { acceptEvents } from '@/lib/store/projection/acceptEvents'
import { applyRegister } from '@/lib/store/register/changeRegister'
import { wire } from '@/tests/cases/smallProgramme'
import { makeTestDatabase, type TestDatabase } from '@/tests/setup/database'
import { startTestServer, type TestServer } from '@/tests/setup/server'
import { ADMINISTRATOR, type SignedIn, signInAs } from '@/tests/setup/signIn'
import { addDueSamples, DUE_KITS, FOREIGN } from './dueProgramme'

let database: TestDatabase
let server: TestServer
let administrator: SignedIn
let contact: SignedIn
let desk: SignedIn
beforeAll(async () => {
  database = await makeTestDatabase()
  await addDueSamples(database, Date.now())
  server = await startTestServer(database.url)
  administrator = await signInAs(database, ADMINISTRATOR)
  contact = await signInAs(database, { plants: ['PL1'] })
  desk = await signInAs(database, { laboratories: ['LAB'] })
})

/** The text of a page as it is read: without tags and scripts, runs of blanks as one. */
async function read(who: SignedIn, path: string): Promise<string> {
  const reply = await fetch(server.address + path, { headers: who.headers })
  expect(reply.status).toBe(200)
  const body = (await reply.text()).match(/<main[\s\S]*<\/main>/)?.[0] ?? ''
  return body
    .replace(/<script[\s\S]*?<\/script>/g, '')
    .replace(/<!-- -->/g, '')
    .replace(/<[^>]+>/g, ' ')
    .replace(/&#x27;/g, '’')
    .replace(/\s+/g, ' ')
}
/** Sets a task aside as a form without scripts does. Returns where that leads. */
async function setAside(who: SignedIn, fields: Record<string, string>): Promise<string> {
  const reply = await fetch(`${server.address}/api/due/snooze`, {
    method: 'POST',
    headers: { ...who.headers, 'content-type': 'application/x-www-form-urlencoded' },
    body: new URLSearchParams(fields),
    redirect: 'manual',
  })
  expect(reply.status).toBe(303)
  return reply.headers.get('location')?.replace(server.address, '') ?? ''
}
const kept = async () => (await database.owner.query('select subject, reason, made_by from snooze')).rows
/** The heading of the list of tasks that are set aside, with the first of its days. */
const SET_ASIDE_LIST = /Set aside until (?!…)/
const inDays = (days: number) => new Date(Date.now() + days * 86_400_000).toISOString().slice(0, 10)

const findCopy = (kit: string) =>
  `Send a copy of the form for ${formatKitCode(kit)} . It has left and no copy has come.`
const replace = (kit: string) => `Issue a kit to replace ${formatKitCode(kit)} . It was lost.`

describe('the page of what is due', () => {
  test('tells a contact what is theirs, then what others have to do for their plant, and of no other plant', async () => {
    const text = await read(contact, '/due')
    expect(text).toContain('One overdue task is yours to do.')
    const [, mine = '', others = ''] = text.split(/Yours to do|Waiting for others/)
    expect(mine).toContain(findCopy(DUE_KITS.own))
    expect(others).toContain(replace(DUE_KITS.ownLost))
    for (const word of [...FOREIGN, formatKitCode(DUE_KITS.foreign), formatKitCode(DUE_KITS.foreignLost)])
      expect(text).not.toContain(word)
  })

  test('tells an administrator what the programme has to do, then whom to ask, and a desk what is theirs', async () => {
    const text = await read(administrator, '/due')
    const [, mine = '', others = ''] = text.split(/Yours to do|Waiting for others/)
    for (const kit of [DUE_KITS.ownLost, DUE_KITS.foreignLost]) expect(mine).toContain(replace(kit))
    for (const kit of [DUE_KITS.own, DUE_KITS.foreign]) expect(others).toContain(findCopy(kit))
    expect(await read(desk, '/due')).toContain('Nothing overdue is yours to do; 4 tasks wait for others.')
  })

  test('shows the part that its address asks for, to be cleared', async () => {
    const ofOne = await read(administrator, '/due?plant=PL1&by=plant')
    expect(ofOne).toContain(findCopy(DUE_KITS.own))
    expect(ofOne).not.toContain(formatKitCode(DUE_KITS.foreign))
    expect(ofOne).not.toContain(formatKitCode(DUE_KITS.ownLost))
    expect(ofOne).toContain('Clear')
    expect(await read(contact, '/due?by=me')).not.toContain(replace(DUE_KITS.ownLost))
    // Another's plant is as one that is nowhere.
    const foreign = await read(contact, '/due?plant=PL2')
    expect(foreign.replaceAll('PL2', 'PL9').replace(/\d\d:\d\d/g, '')).toBe(
      (await read(contact, '/due?plant=PL9')).replace(/\d\d:\d\d/g, ''),
    )
  })

  test('says by day what is still due of a test, and where the days of its acts are', async () => {
    const text = await read(desk, '/due')
    expect(text.split('Day by day')[1]).toMatch(/Issue the report on .*, yours to do/)
  })

  test('says which of three it is where it is empty: nothing entered, nothing of this choice, all done', async () => {
    const nothing = await signInAs(database, { plants: ['PL3'] })
    const done = await signInAs(database, { plants: ['PL4'] })
    expect(await read(nothing, '/due')).toContain('No test is scheduled for you yet.')
    expect(await read(done, '/due')).toContain('All is done')
    expect(await read(contact, '/due?by=laboratory&plant=PL7')).toContain(
      'Nothing that is due matches this filter.',
    )
  })
})

describe('something overdue', () => {
  const own = `form copy missing/${DUE_KITS.own}`
  const waits = 'The scanner is broken; “new one” on <Monday>'

  test('is not set aside without a reason and an end, and the input is shown again', async () => {
    const back = await setAside(contact, { subject: own, until: '', reason: '', by: 'me' })
    expect(back).toMatch(/^\/due\?by=me&aside=.*#leaving$/)
    const text = await read(contact, back)
    expect(text).toContain('Say why it can wait.')
    expect(text).toContain('Enter the day until which it can wait')
    const tooLong = await setAside(contact, { subject: own, until: inDays(200), reason: waits })
    expect(await read(contact, tooLong)).toContain('Enter a day within the next 92 days.')
    const html = await (await fetch(server.address + tooLong, { headers: contact.headers })).text()
    expect(html).toContain('value="The scanner is broken; “new one” on &lt;Monday&gt;"')
    expect(await kept()).toEqual([])
  })

  test('is not set aside by a contact if the programme has to act; another plant’s is like an unknown one', async () => {
    const answers = await Promise.all(
      [
        `lapsed with no re-collection/${DUE_KITS.ownLost}`,
        `form copy missing/${DUE_KITS.foreign}`,
        'form copy missing/nowhere',
      ].map((subject) => setAside(contact, { subject, until: inDays(5), reason: waits })),
    )
    expect(new Set(answers)).toEqual(new Set(['/due?gone=yes']))
    expect(await read(contact, '/due?gone=yes')).toContain('Nothing was set aside')
    expect(await kept()).toEqual([])
  })

  test('is set aside by who is responsible, is not asked for until then, and the audit log says so', async () => {
    expect(await setAside(contact, { subject: own, until: inDays(5), reason: ` ${waits} ` })).toBe(
      '/due#aside',
    )
    expect(await kept()).toEqual([{ subject: own, reason: waits, made_by: 'A person of the tests' }])
    const text = await read(contact, '/due')
    expect(text).toContain('Nothing overdue is yours to do; 1 task waits for others. 1 is set aside')
    expect(text.split(SET_ASIDE_LIST)[1]).toContain(formatKitCode(DUE_KITS.own))
    const { rows } = await database.owner.query(
      `select who, subject, after ->> 'reason' as reason from audit_entry where what = 'left something aside'`,
    )
    expect(rows).toEqual([{ who: `person ${contact.personId}`, subject: DUE_KITS.own, reason: waits }])
  })

  test('is set aside by an administrator whoever has to act, and again', async () => {
    for (const subject of [`form copy missing/${DUE_KITS.foreign}`, own])
      await setAside(administrator, { subject, until: inDays(9), reason: 'The office waits.' })
    expect((await kept()).map(({ reason }) => reason)).toEqual([
      waits,
      'The office waits.',
      'The office waits.',
    ])
    expect((await read(contact, '/due')).split(SET_ASIDE_LIST)[1]).toContain('The office waits.')
  })
})

test('a protocol without a range is named once to an administrator, until the range is entered', async () => {
  const receipts = [DUE_KITS.own, DUE_KITS.foreign].map((sample) => ({
    source: 'a desk of the tests',
    id: `received ${sample}`,
    sample,
    kind: 'received',
    at: new Date(Date.now() - 3_600_000).toISOString(),
    facts: { condition: { temperature: 61 } },
  }))
  await acceptEvents(database.app, wire(...receipts), UNRESTRICTED, Date.now())
  const asked = 'Receipts under protocol TEN tell temperatures, but it does not say which are right.'
  expect((await read(administrator, '/due')).split(asked)).toHaveLength(2)
  for (const who of [contact, desk]) expect(await read(who, '/due')).not.toContain(asked)
  const html = await (await fetch(`${server.address}/due`, { headers: administrator.headers })).text()
  expect(html).toContain('href="/setup/protocols/TEN"')
  const register = await readRegisterDocument(database.app)
  const protocols = register.protocols.map((one) => ({ ...one, condition: { temperature: { max: 40 } } }))
  await applyRegister(database.app, { ...register, protocols }, Date.now())
  expect(await read(administrator, '/due')).not.toContain(asked)
})
