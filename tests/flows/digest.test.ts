import { beforeAll, describe, expect } from 'vitest'
import { createUnsubscribeToken } from '@/lib/digest/weekly/unsubscribe'
import { getSignInSecret } from '@/lib/store/site'
import { fillTwoMakers } from '@/tests/access/twoMakers'
import { withdrawDispatches } from '@/tests/digest/programme'
import { browserTest as test } from '@/tests/setup/browser'
import { makeTestDatabase, type TestDatabase } from '@/tests/setup/database'
import { startTestServer, type TestServer } from '@/tests/setup/server'
import { type SignedIn, signInAs } from '@/tests/setup/signIn'

let database: TestDatabase
let server: TestServer
let contact: SignedIn
let colleague: SignedIn
let administrator: SignedIn
beforeAll(async () => {
  database = await makeTestDatabase()
  await fillTwoMakers(database)
  await withdrawDispatches(database, Date.now())
  server = await startTestServer(database.url)
  contact = await signInAs(database, { plants: ['PL1'] }, 'contact@test.invalid')
  colleague = await signInAs(database, { plants: ['PL1', 'PL3'] }, 'colleague@test.invalid')
  administrator = await signInAs(database, { isAdministrator: true }, 'office@test.invalid')
})

const buildLink = (personId: string, serial: number) =>
  `${server.address}/api/digest/stop?token=${createUnsubscribeToken(getSignInSecret(), personId, serial)}`
/** As a mail program sends it: no cookie, no origin. */
const oneClick = (link: string) =>
  fetch(link, {
    method: 'POST',
    headers: { 'content-type': 'application/x-www-form-urlencoded' },
    body: 'List-Unsubscribe=One-Click',
    redirect: 'manual',
  })
const wants = async (personId: string) => {
  const { rows } = await database.authPool.query<{ is_wanted: boolean }>(
    'select is_wanted from digest_preference where person_id = $1',
    [personId],
  )
  return rows[0]?.is_wanted ?? true
}

const post = (who: SignedIn, path: string, fields: Record<string, string>) =>
  fetch(server.address + path, {
    method: 'POST',
    headers: { ...who.headers, 'content-type': 'application/x-www-form-urlencoded' },
    body: new URLSearchParams(fields),
    redirect: 'manual',
  })
const read = async (who: SignedIn, path: string) =>
  (await fetch(server.address + path, { headers: who.headers })).text()

describe('the link that stops the mail', () => {
  test('opened changes nothing and shows a button; posted, it stops the mail, once, on record', async () => {
    const link = buildLink(contact.personId, 0)
    const opened = await fetch(link)
    expect(opened.status).toBe(200)
    expect(await opened.text()).toContain('<form method="post"')
    expect(await wants(contact.personId)).toBe(true)
    expect((await oneClick(link)).status).toBe(200)
    expect((await oneClick(link)).status).toBe(200)
    expect(await wants(contact.personId)).toBe(false)
    const { rows } = await database.owner.query(
      `select who, address from audit_entry where what = 'stopped the weekly mail by its link' and subject = $1`,
      [contact.personId],
    )
    expect(rows).toEqual([{ who: `person ${contact.personId}`, address: '127.0.0.1' }])
  })

  test('works no more after the mail was chosen again', async () => {
    await post(contact, '/api/me/digest', { wanted: 'yes', quiet: 'yes', language: 'pt-PT' })
    expect(await wants(contact.personId)).toBe(true)
    expect((await oneClick(buildLink(contact.personId, 0))).status).toBe(404)
    expect(await wants(contact.personId)).toBe(true)
    expect((await oneClick(buildLink(contact.personId, 1))).status).toBe(200)
    expect(await wants(contact.personId)).toBe(false)
  })

  test('of another signature, another person or none is no link', async () => {
    const good = createUnsubscribeToken(getSignInSecret(), contact.personId, 1)
    const other = createUnsubscribeToken('another secret', colleague.personId, 0)
    const mixed = `${createUnsubscribeToken(getSignInSecret(), colleague.personId, 0).split('.')[0]}.${good.split('.').slice(1).join('.')}`
    for (const token of [other, mixed, '', 'a.0.b', `${good}x`])
      expect((await oneClick(`${server.address}/api/digest/stop?token=${token}`)).status).toBe(404)
    expect(await wants(colleague.personId)).toBe(true)
  })
})

describe('the link that stops alerts', () => {
  const linkOf = (serial: number) =>
    `${server.address}/api/digest/stop?token=${createUnsubscribeToken(getSignInSecret(), colleague.personId, serial, 'alerts')}`
  const form = { wanted: 'yes', quiet: 'yes', language: 'en-GB', alerts: 'lapsed,arrived' }
  const chosen = async () => {
    const { rows } = await database.authPool.query<{ kind: string }>(
      'select kind from at_once_choice where person_id = $1 and is_wanted order by kind',
      [colleague.personId],
    )
    return rows.map(({ kind }) => kind)
  }

  test('stops these alone, and not after they were chosen again', async () => {
    await post(colleague, '/api/me/digest', form)
    expect(await chosen()).toEqual(['arrived', 'lapsed'])
    expect(await (await fetch(linkOf(0))).text()).toContain('The weekly mail still comes.')
    expect((await oneClick(linkOf(0))).status).toBe(200)
    expect([await chosen(), await wants(colleague.personId)]).toEqual([[], true])
    expect(await read(colleague, '/me')).toContain('You have stopped alerts')
    await post(colleague, '/api/me/digest', form)
    expect((await oneClick(linkOf(0))).status).toBe(404)
    expect(await chosen()).toEqual(['arrived', 'lapsed'])
    expect(await read(colleague, '/me')).not.toContain('You have stopped alerts')
  })
})

describe('what a person chooses', () => {
  test('is kept and shown again, and a colleague can stand in', async () => {
    const answer = await post(contact, '/api/me/digest', {
      wanted: 'yes',
      language: 'de',
      standIn: colleague.personId,
      from: '2026-12-21',
      until: '2027-01-03',
    })
    expect([answer.status, answer.headers.get('location')]).toEqual([303, '/me?kept=yes#weekly'])
    const page = await read(contact, '/me')
    expect(page).toContain('value="2026-12-21"')
    expect(page).toContain('value="de"')
  })

  test('that cannot be leads back with a sentence beside each field, and nothing is kept', async () => {
    const answer = await post(contact, '/api/me/digest', {
      wanted: 'yes',
      language: 'no language',
      standIn: administrator.personId,
      from: '2026-12-21',
      until: '2026-12-01',
    })
    const page = await read(contact, answer.headers.get('location') ?? '')
    for (const sentence of ['cannot be written', 'no longer at any', 'The last day is before'])
      expect(page).toContain(sentence)
    expect(await read(contact, '/me')).toContain('value="de"')
  })

  test('is nobody else’s to choose', async () => {
    const answer = await fetch(`${server.address}/api/me/digest`, {
      method: 'POST',
      headers: { cookie: contact.cookie, origin: 'https://elsewhere.example' },
      body: new URLSearchParams({ language: 'fr' }),
    })
    expect([403, 421]).toContain(answer.status)
  })
})

describe('the page of the weekly mail', () => {
  test('shows an administrator anyone’s next one, with no link that would stop it', async () => {
    const page = await read(administrator, `/digest?of=${colleague.personId}`)
    expect(page).toContain('colleague@test.invalid')
    expect(page).toContain('Hand ')
    expect(page).not.toContain(createUnsubscribeToken(getSignInSecret(), colleague.personId, 0))
  })

  test('shows others their own, whatever they ask for', async () => {
    const page = await read(contact, `/digest?of=${administrator.personId}`)
    expect(page).toContain('contact@test.invalid')
    expect(page).not.toContain('office@test.invalid')
    expect(page).not.toContain('Otherwise secret underlay')
  })

  test('shows a mail as it was sent in a frame, to whom it went and to an administrator', async ({
    openPage,
  }) => {
    await database.authPool.query(
      `insert into digest_mail (person_id, occasion, due_at, state, address, subject, body_text, body_html, ended_at)
       values ($1, '2026-W40', now(), 'refused', 'colleague@test.invalid', 'Holdfast 2026-W40', 'as text ?token=a.0.b',
         '<html><head></head><body><p style="color: red">As it was</p><a href="https://x.invalid/?token=a.0.b">Stop</a></body></html>',
         now()) on conflict do nothing`,
      [colleague.personId],
    )
    const address = `/digest?of=${colleague.personId}&mail=2026-W40`
    for (const who of [administrator, colleague]) {
      const page = await openPage({ javaScriptEnabled: false })
      await who.addTo(page.context(), server.address)
      await page.goto(server.address + address)
      const frame = page.frameLocator('iframe[title="The mail “Holdfast 2026-W40”"]')
      await expect.poll(() => frame.locator('p').textContent()).toBe('As it was')
      expect(await frame.locator('p').evaluate((p) => getComputedStyle(p).color)).toBe('rgb(255, 0, 0)')
      expect(await frame.locator('a').getAttribute('href')).not.toContain('a.0.b')
      expect(await page.content()).not.toContain('a.0.b')
      await page.close()
    }
    const html = (who: SignedIn, asks: string) =>
      fetch(`${server.address}/api/digest/html?${asks}`, { headers: who.headers })
    expect((await html(contact, `of=${colleague.personId}&occasion=2026-W40`)).status).toBe(404)
    expect(await (await html(colleague, `of=${contact.personId}`)).text()).toContain('Hand ')
    for (const word of ['As it was sent', 'as text']) expect(await read(contact, address)).not.toContain(word)
  })

  test('says of a mail of long ago that what it said is gone, and still what became of it', async () => {
    await database.owner.query(
      `insert into digest_mail (person_id, occasion, due_at, state, ended_at, emptied_at)
       values ($1, '2024-W08', '2024-02-19', 'sent', '2024-02-19', '2024-08-20')`,
      [contact.personId],
    )
    expect(await read(contact, '/digest')).toContain('No longer kept')
    const page = await read(contact, '/digest?mail=2024-W08')
    expect(page).toContain('were kept for half a year and are gone')
    expect(page).toContain('The mail server accepted it.')
    expect(page).not.toContain('src="/api/digest/html')
  })

  test('lets an administrator send again what may not have arrived, once sure of it, on record', async () => {
    const key = { of: colleague.personId, mail: '2026-W39' }
    await database.authPool.query(
      `insert into digest_mail (person_id, occasion, due_at, state, ended_at)
       values ($1, '2026-W39', now(), 'uncertain', now()) on conflict (person_id, occasion) do update set state = 'uncertain'`,
      [key.of],
    )
    const state = async () => {
      const { rows } = await database.authPool.query<{ state: string; hasJob: boolean }>(
        `select state, exists (select from queue.job where id = job_id) as "hasJob" from digest_mail
         where person_id = $1 and occasion = '2026-W39'`,
        [key.of],
      )
      return rows[0]
    }
    expect((await post(colleague, '/api/digest/again', { ...key, sure: 'yes' })).status).toBe(403)
    const unsure = (await post(administrator, '/api/digest/again', key)).headers.get('location') ?? ''
    expect(await read(administrator, unsure)).toContain('if it did arrive, there would be two')
    expect(await read(colleague, unsure)).not.toContain('Send it again')
    expect(await state()).toMatchObject({ state: 'uncertain' })
    const sure = (await post(administrator, '/api/digest/again', { ...key, sure: 'yes' })).headers.get(
      'location',
    )
    expect(await state()).toEqual({ state: 'waiting', hasJob: true })
    expect(await read(administrator, sure ?? '')).not.toContain('Send it again')
    const { rows } = await database.owner.query(
      `select who, before from audit_entry where what = 'had a mail sent again' and subject = $1`,
      [key.of],
    )
    expect(rows[0]).toEqual({
      who: `person ${administrator.personId}`,
      before: { for: '2026-W39', fate: 'uncertain' },
    })
  })

  test('leaves out alerts if only weekly mails are asked for', async () => {
    await database.authPool.query(
      `insert into digest_mail (person_id, occasion, due_at, state, ended_at)
       values ($1, 'lapsed 7KQ2M94Y', now(), 'nothing to say', now()) on conflict do nothing`,
      [colleague.personId],
    )
    expect(await read(administrator, '/digest')).toContain('Alert: 7KQ2-M94Y lapsed')
    const weekly = await read(administrator, '/digest?only=weekly')
    expect(weekly).not.toContain('Alert: 7KQ2-M94Y lapsed')
    expect(weekly).toContain('Week 2026-W40')
  })

  test('names the addresses that are refused to administrators', async () => {
    for (const path of ['/digest', '/setup/people'])
      expect(await read(administrator, path)).toMatch(/Addresses to correct|Mail to this address is refused/)
    expect(await read(colleague, '/digest')).not.toContain('Addresses to correct')
  })

  test('lets an administrator set the hour, and nobody else', async () => {
    expect((await post(administrator, '/api/digest/time', { weekday: '2', time: '06:30' })).status).toBe(303)
    expect((await post(administrator, '/api/digest/time', { weekday: '8', time: '06:30' })).status).toBe(422)
    expect((await post(contact, '/api/digest/time', { weekday: '3', time: '06:30' })).status).toBe(403)
    const { rows } = await database.authPool.query('select weekday, minute_of_day from digest_time')
    expect(rows).toEqual([{ weekday: 2, minute_of_day: 390 }])
  })
})

describe('a mailbox that several share', () => {
  const set = (who: SignedIn, of: SignedIn, mailbox: string) =>
    post(who, '/api/setup/people/mailbox', { id: of.personId, mailbox })
  const shown = (of: SignedIn) => read(administrator, `/setup/people/${of.personId}`)

  test('is an administrator’s to set, with who shares it shown, and stays when they choose anew', async () => {
    for (const of of [contact, colleague]) await set(administrator, of, ' Dock@Test.invalid ')
    expect((await set(colleague, contact, 'elsewhere@test.invalid')).status).toBe(403)
    expect(await shown(contact)).toMatch(/dock@test\.invalid.*shared with/)
    await post(contact, '/api/me/digest', { wanted: 'yes', quiet: 'yes', language: 'en-GB' })
    expect(await read(administrator, `/digest?of=${contact.personId}`)).toContain('dock@test.invalid')
  })

  test('that is no address is not kept, and one left empty is their own', async () => {
    const wrong = await set(administrator, contact, 'no address')
    expect(await read(administrator, wrong.headers.get('location') ?? '')).toContain(
      'Enter an e-mail address',
    )
    expect(await shown(contact)).toContain('dock@test.invalid')
    await set(administrator, contact, '')
    expect(await shown(contact)).not.toContain('dock@test.invalid')
    expect(await shown(colleague)).toContain('which nobody else shares')
  })
})
