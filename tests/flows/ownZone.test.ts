import { beforeAll, expect, test } from 'vitest'
import { openSharedServer } from '@/tests/setup/sharedServer'
import { type SignedIn, signInAs } from '@/tests/setup/signIn'
import type { ServedProgramme } from '../setup/signIn'

let server: ServedProgramme
let contact: SignedIn
beforeAll(async () => {
  server = await openSharedServer('attacked')
  contact = await signInAs(server.database, { plants: ['PL1'] })
})

const choose = async (zone: string) => {
  const answer = await fetch(`${server.address}/api/me/zone`, {
    method: 'POST',
    headers: { ...contact.headers, 'content-type': 'application/x-www-form-urlencoded' },
    body: new URLSearchParams({ zone }),
    redirect: 'manual',
  })
  return answer.headers.get('location') ?? ''
}

const read = async (path: string, who = contact) =>
  (await fetch(server.address + path, { headers: who.headers })).text()
const lines = async () => {
  const { rows } = await server.database.owner.query(
    `select who, before, after from audit_entry where what = 'chose a zone' and subject = $1 order by seq`,
    [contact.personId],
  )
  return rows
}

test('a zone that a person chooses holds for their pages and mails, and is on record once', async () => {
  expect(await read('/digest')).toMatch(/UTC/)
  expect(await choose(' asia/tokyo ')).toBe('/me?kept=zone#zone')
  expect(await choose('Asia/Tokyo')).toBe('/me?kept=zone#zone')
  expect(await lines()).toEqual([
    { who: `person ${contact.personId}`, before: { zone: 'UTC' }, after: { zone: 'Asia/Tokyo' } },
  ])
  const page = await read('/me?kept=zone')
  expect(page).toContain('Saved.')
  expect(page).toContain('value="Asia/Tokyo"')
  expect(page).toMatch(/\d\d:\d\d Tokyo/)
  expect(await read('/digest')).toMatch(/\d\d:\d\d Tokyo/)
})

test('what is no zone leads back with a sentence beside the field, and nothing is kept', async () => {
  const before = await lines()
  for (const typed of ['Nowhere/Else', '', '+05:00', '<b>']) {
    const page = await read(await choose(typed))
    expect(page).toContain('is not a time zone')
    expect(page).not.toContain('<b>”')
  }
  expect(await lines()).toEqual(before)
})

test('it is nobody else’s to choose', async () => {
  const answer = await fetch(`${server.address}/api/me/zone`, {
    method: 'POST',
    headers: { cookie: contact.cookie, origin: 'https://elsewhere.example' },
    body: new URLSearchParams({ zone: 'Europe/Lisbon' }),
  })
  expect([403, 421]).toContain(answer.status)
})

test('who gets no mail is asked for a zone and for nothing about mail', async () => {
  const reader = await signInAs(server.database, { isReader: true })
  expect(await read('/me')).toContain('href="/digest"')
  const page = await read('/me', reader)
  expect(page).toContain('Your time zone')
  expect(page).not.toContain('Your mail')
  expect(page).not.toContain('/digest')
})
