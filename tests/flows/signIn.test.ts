import { mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { simpleParser } from 'mailparser'
import type { Page } from 'playwright-core'
import { afterAll, beforeAll, describe, expect } from 'vitest'
import { ensurePerson } from '@/lib/store/people/people'
import { markAsDemo } from '@/lib/store/scope/appMetadata'
import { readMain, browserTest as test } from '@/tests/setup/browser'
import { makeTestDatabase, type TestDatabase } from '@/tests/setup/database'
import { startTestServer, type TestServer } from '@/tests/setup/server'
import { ADMINISTRATOR, signInAs } from '@/tests/setup/signIn'
import { addPasskeyDevice } from '@/tests/setup/virtualPasskeys'
import { rawRequest } from './rawRequest'

const dataDir = mkdtempSync(join(tmpdir(), 'holdfast-sign-in-'))
const outbox = join(dataDir, 'outbox')
const EMAIL = 'administrator@test.invalid'
const secret = 'a secret of the tests, that is long enough'

let server: TestServer
let database: TestDatabase
beforeAll(async () => {
  database = await makeTestDatabase()
  server = await startTestServer(database.url, { HOLDFAST_DATA_DIR: dataDir, HOLDFAST_SECRET: secret })
  const roles = [{ role: 'administrator' as const, place: '' }]
  const actor = { who: 'command', name: 'a test', address: null }
  await ensurePerson(database.authPool, { email: EMAIL, name: 'Administrator', roles }, actor, Date.now())
})
afterAll(() => rmSync(dataDir, { recursive: true, force: true }))

const letters = () => {
  try {
    return readdirSync(outbox)
      .filter((name) => name.endsWith('.eml'))
      .sort()
  } catch {
    return []
  }
}

/** Requests a mail on a page and reads it from the outbox. */
async function askFor(page: Page, to = '/sign-in'): Promise<{ link: string; code: string }> {
  await database.authPool.query('delete from sign_in_request')
  const before = letters().length
  await page.goto(server.address + to)
  await page.fill('input[name=email]', EMAIL)
  await page.click('text=Mail me a link')
  await page.waitForURL('**/sign-in/code')
  await expect.poll(() => letters().length).toBe(before + 1)
  const { text = '' } = await simpleParser(readFileSync(join(outbox, letters().at(-1) ?? '')))
  return { link: /http\S+/.exec(text)?.[0] ?? '', code: /\d{4} \d{4}/.exec(text)?.[0] ?? '' }
}

async function isIn(page: Page): Promise<boolean> {
  await page.waitForLoadState('domcontentloaded')
  return page.locator('header').getByText('Administrator').isVisible()
}

describe('by mail', () => {
  test('a link, without scripts: opened by a scanner it stays good, pressed it leads to where one was going, and then it is spent', async ({
    openPage,
  }) => {
    const page = await openPage({ javaScriptEnabled: false })
    await page.goto(`${server.address}/unplaced`)
    expect(new URL(page.url()).pathname).toBe('/sign-in')
    const { link } = await askFor(page, new URL(page.url()).pathname + new URL(page.url()).search)
    expect(link.startsWith(server.address)).toBe(true)
    for (let n = 0; n < 3; n += 1) expect((await fetch(link)).status).toBe(200)
    await page.goto(link)
    await page.click('text=Sign in here')
    expect(new URL(page.url()).pathname).toBe('/unplaced')
    expect(await isIn(page)).toBe(true)
    const other = await openPage({ javaScriptEnabled: false })
    await other.goto(link)
    await other.click('text=Sign in here')
    expect(await readMain(other)).toContain('That link no longer works')
    expect(await isIn(other)).toBe(false)
  })

  test('a code, wrong and then right', async ({ page }) => {
    const { code } = await askFor(page)
    await page.fill('input[name=code]', code === '0000 0000' ? '1111 1111' : '0000 0000')
    await page.click('button:text-is("Sign in")')
    await page.waitForURL('**/sign-in/code?left=4')
    expect(await readMain(page)).toContain('That is not the code of the last mail. 4 tries left.')
    await page.fill('input[name=code]', code)
    await page.click('button:text-is("Sign in")')
    await page.waitForURL(`${server.address}/`)
    expect(await isIn(page)).toBe(true)
  })

  test('an address that nobody has gets the same answer and no mail, and too many get 429 with a time', async () => {
    await database.authPool.query('delete from sign_in_request')
    const before = letters().length
    const ask = (email: string) =>
      fetch(`${server.address}/api/sign-in`, {
        method: 'POST',
        redirect: 'manual',
        headers: { origin: server.address },
        body: new URLSearchParams({ email }),
      })
    const [known, unknown] = [await ask(EMAIL), await ask('nobody@test.invalid')]
    const shape = ({ status, headers }: Response) => ({
      status,
      names: [...headers.keys()].sort(),
      location: headers.get('location'),
      cookie: headers.get('set-cookie')?.replace(/=[\w-]{32};/, '=;'),
    })
    expect(shape(known)).toMatchObject({ status: 303, location: '/sign-in/code' })
    expect(shape(unknown)).toEqual(shape(known))
    await expect.poll(() => letters().length).toBe(before + 1)
    for (let n = 0; n < 4; n += 1) await ask('nobody@test.invalid')
    const refused = await ask('nobody@test.invalid')
    expect(refused.status).toBe(429)
    expect(Number(refused.headers.get('retry-after'))).toBeGreaterThan(800)
    expect(await refused.text()).toContain('Another can be sent in 15 minutes.')
    expect(letters().length).toBe(before + 1)
  })

  test('nothing that signs in may be sent from another site, or be what is no address', async () => {
    for (const path of ['', '/link', '/code', '/role'])
      for (const headers of [{ origin: 'null' }, { 'sec-fetch-site': 'cross-site' }, {}] as Record<
        string,
        string
      >[]) {
        const answer = await fetch(`${server.address}/api/sign-in${path}`, { method: 'POST', headers })
        // The server itself rejects a foreign origin; the route rejects a missing one.
        expect([answer.status, path]).toEqual([headers.origin ? 421 : 403, path])
      }
    const answer = await fetch(`${server.address}/api/sign-in`, {
      method: 'POST',
      headers: { origin: server.address },
      body: new URLSearchParams({ email: 'no address' }),
    })
    expect(await answer.text()).toContain('That is not an e-mail address.')
  })
})

describe('signed in', () => {
  test('one sees where, ends the others, which are out at once, and signs out', async ({ openPage }) => {
    const [here, there, third] = [await openPage(), await openPage(), await openPage()]
    for (const page of [here, there, third]) {
      await page.goto((await askFor(page)).link)
      await page.click('text=Sign in here')
      await page.waitForURL(`${server.address}/`)
    }
    await here.goto(`${server.address}/me`)
    expect(await here.locator('table tr:has-text("this one")').count()).toBe(1)
    expect(await readMain(here)).toContain('127.0.0.1')
    expect(await readMain(here)).toContain(outbox)
    const ends = await here.getByRole('button', { name: 'End', exact: true }).count()
    expect(ends).toBeGreaterThanOrEqual(2)
    await here.getByRole('button', { name: 'End', exact: true }).first().click()
    await expect.poll(() => here.getByRole('button', { name: 'End', exact: true }).count()).toBe(ends - 1)
    await here.click('text=End all others')
    await expect.poll(() => here.getByRole('button', { name: 'End', exact: true }).count()).toBe(0)
    for (const page of [there, third]) {
      await page.goto(`${server.address}/me`)
      expect(new URL(page.url()).pathname).toBe('/sign-in')
    }
    await here.locator('header').getByText('Sign out').click()
    await here.waitForURL('**/sign-in')
    await here.goto(`${server.address}/`)
    expect(new URL(here.url()).pathname).toBe('/sign-in')
  })

  test('nobody ends a session of another, and one who has left is out at once', async () => {
    const [mine, theirs] = [await signInHere(), await signInHere()]
    const { rows } = await database.authPool.query('select id from session where person_id = $1', [
      theirs.personId,
    ])
    await fetch(`${server.address}/api/me/sessions`, {
      method: 'POST',
      headers: mine.headers,
      body: new URLSearchParams({ id: rows[0].id }),
    })
    const asksBoard = async () =>
      (await fetch(`${server.address}/api/board`, { headers: theirs.headers })).status
    expect(await asksBoard()).toBe(200)
    await database.authPool.query('update person set left_at = now() where id = $1', [theirs.personId])
    expect(await asksBoard()).toBe(401)
  })

  test('a write from another site with the session’s cookie changes nothing', async () => {
    const { cookie } = await signInHere()
    const write = (headers: Record<string, string>) =>
      fetch(`${server.address}/api/register`, { method: 'PUT', headers: { cookie, ...headers }, body: '{}' })
    for (const headers of [{}, { 'sec-fetch-site': 'cross-site' }, { origin: 'null' }] as Record<
      string,
      string
    >[])
      expect((await write(headers)).status).toBe(headers.origin ? 421 : 403)
    expect((await write({ origin: server.address })).status).toBe(200)
  })

  test('only an administrator sees that mail stays here', async ({ page }) => {
    await page.goto(`${server.address}/sign-in`)
    expect(await readMain(page)).not.toContain('SMTP_URL')
    await (await signInHere()).addTo(page.context(), server.address)
    await page.goto(`${server.address}/sign-in`)
    expect(await readMain(page)).toContain('SMTP_URL')
  })

  const signInHere = () => signInAs(database, ADMINISTRATOR, undefined, secret)
})

test('a passkey is enrolled on one’s page, signs in, and when removed does not', async ({ openPage }) => {
  const page = await openPage({ expectedErrors: [/401/] })
  await addPasskeyDevice(page)
  await page.goto((await askFor(page)).link)
  await page.click('text=Sign in here')
  await page.waitForURL(`${server.address}/`)
  await page.goto(`${server.address}/me`)
  await page.fill('input[name=name]', 'phone at the line')
  await page.click('text=Add a passkey')
  await page.locator('th', { hasText: 'phone at the line' }).waitFor()
  await page.locator('header').getByText('Sign out').click()
  await page.waitForURL('**/sign-in')
  await page.click('text=Use a passkey')
  await page.waitForURL(`${server.address}/`)
  expect(await isIn(page)).toBe(true)
  const { rows } = await database.owner.query(
    `select after from audit_entry where what = 'signed in' order by seq desc limit 1`,
  )
  expect(rows).toMatchObject([{ after: { by: 'passkey' } }])
  await page.goto(`${server.address}/me`)
  await page.getByRole('button', { name: 'Remove' }).click()
  await expect.poll(() => page.locator('th', { hasText: 'phone at the line' }).count()).toBe(0)
  await page.locator('header').getByText('Sign out').click()
  await page.waitForURL('**/sign-in')
  await page.click('text=Use a passkey')
  await page.getByText('The passkey was not accepted').waitFor()
  expect(await isIn(page)).toBe(false)
})

describe('the demo', () => {
  const press = (address: string, role: string) =>
    fetch(`${address}/api/sign-in/role`, {
      method: 'POST',
      redirect: 'manual',
      headers: { origin: address },
      body: new URLSearchParams({ role }),
    })

  test('is entered with one press; with any other database that is not there', async ({ page }) => {
    const demo = await makeTestDatabase()
    await markAsDemo(demo.app, Date.now())
    const { address } = await startTestServer(demo.url, { HOLDFAST_DATA_DIR: dataDir })
    await page.goto(address)
    await page.getByRole('button', { name: 'administrator' }).click()
    await page.waitForURL(`${address}/`)
    expect(await page.locator('header').textContent()).toContain('Demo administrator')
    expect((await press(address, 'reader')).headers.get('location')).toBe('/figures')
    for (const role of ['administrator', 'reader', 'no such role'])
      expect((await press(server.address, role)).status).toBe(404)
    await page.goto(`${server.address}/sign-in`)
    expect(await page.getByRole('button', { name: 'administrator' }).count()).toBe(0)
  })

  test('is not open to other machines: not at a public address, and not through a proxy', async () => {
    const demo = await makeTestDatabase()
    await markAsDemo(demo.app, Date.now())
    const local = await startTestServer(demo.url, { HOLDFAST_DATA_DIR: dataDir })
    const variables = { HOLDFAST_DATA_DIR: dataDir, HOLDFAST_URL: 'https://holdfast.example' }
    const site = await startTestServer(demo.url, variables)
    const proxied = { 'x-forwarded-for': '198.51.100.9' }
    const cases: [TestServer, string, Record<string, string>][] = [
      [local, new URL(local.address).host, proxied],
      [site, 'holdfast.example', proxied],
      [site, 'holdfast.example', {}],
      [site, new URL(site.address).host, {}],
    ]
    for (const [{ address }, host, headers] of cases) {
      const shown = await rawRequest(address, '/sign-in', { host, ...headers })
      expect(shown.status).toBe(200)
      expect(shown.text).not.toContain('/api/sign-in/role')
      expect(shown.text).toContain('npm run admin')
      const body = 'role=administrator'
      const form = {
        'content-type': 'application/x-www-form-urlencoded',
        'content-length': String(body.length),
      }
      const origin = host === 'holdfast.example' ? `https://${host}` : `http://${host}`
      const sent = { host, origin, ...form, ...headers }
      const answer = await rawRequest(address, '/api/sign-in/role', sent, 'POST', body)
      expect([answer.status, answer.headers['set-cookie']]).toEqual([404, undefined])
    }
    const { rows } = await demo.owner.query('select * from session')
    expect(rows).toEqual([])
  })
})
