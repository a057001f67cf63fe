import { mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { simpleParser } from 'mailparser'
import type { Page } from 'playwright-core'
import { afterAll, beforeAll, beforeEach, expect } from 'vitest'
import { ensurePerson } from '@/lib/store/people/people'
import { MAX_REQUESTS, requestLink } from '@/lib/store/people/signInRequest'
import { COMMAND } from '@/lib/store/scope/audit'
import { readMain, browserTest as test } from '@/tests/setup/browser'
import { makeTestDatabase, type TestDatabase } from '@/tests/setup/database'
import { startTestServer, type TestServer } from '@/tests/setup/server'
import { addPasskeyDevice } from '@/tests/setup/virtualPasskeys'

const EMAIL = 'owner@test.invalid'
const secret = 'a secret of the tests, that is long enough'
const dataDir = mkdtempSync(join(tmpdir(), 'holdfast-locked-out-'))
afterAll(() => rmSync(dataDir, { recursive: true, force: true }))

let server: TestServer
let database: TestDatabase
beforeAll(async () => {
  database = await makeTestDatabase()
  server = await startTestServer(database.url, { HOLDFAST_DATA_DIR: dataDir, HOLDFAST_SECRET: secret })
  const roles = [{ role: 'administrator' as const, place: '' }]
  await ensurePerson(database.authPool, { email: EMAIL, name: 'Owner', roles }, COMMAND, Date.now())
})
beforeEach(async () => {
  await database.authPool.query('delete from sign_in_request')
})

/** A stranger asks for mails to the owner, from another address than the owner's. @returns the last of the links. */
async function askElsewhere(times: number): Promise<string> {
  const context = { authPool: database.authPool, secret }
  let link = ''
  for (let n = 0; n < times; n++) {
    const made = await requestLink(
      context,
      { email: EMAIL, source: `192.0.2.${n}`, wanted: null },
      Date.now(),
    )
    if ('token' in made) link = `${server.address}/sign-in/link?token=${made.token}`
  }
  return link
}

/** A stranger behind the owner's own address asks for mails to somebody. */
const askNextDoor = (email: string) =>
  fetch(`${server.address}/api/sign-in`, {
    method: 'POST',
    redirect: 'manual',
    headers: { origin: server.address },
    body: new URLSearchParams({ email }),
  })

const outbox = join(dataDir, 'outbox')
function listMails(): string[] {
  try {
    return readdirSync(outbox)
      .filter((name) => name.endsWith('.eml'))
      .sort()
  } catch {
    return []
  }
}

/** Asks for a mail on the page. */
async function ask(page: Page, email = EMAIL): Promise<void> {
  await page.goto(`${server.address}/sign-in`)
  await page.fill('input[name=email]', email)
  await page.click('text=Mail me a link')
  await page.waitForURL(/\/sign-in\/code|\/api\/sign-in/)
}

/** Asks for a mail on the page, and reads it. */
async function receive(page: Page): Promise<{ link: string; text: string }> {
  const before = listMails().length
  await ask(page)
  await expect.poll(() => listMails().length).toBe(before + 1)
  const { text = '' } = await simpleParser(readFileSync(join(outbox, listMails().at(-1) ?? '')))
  return { link: /http\S+/.exec(text)?.[0] ?? '', text }
}

async function open(page: Page, link: string): Promise<void> {
  await page.goto(link)
  await page.click('text=Sign in here')
  await page.waitForURL(`${server.address}/`)
  await page.locator('header').getByText('Owner').waitFor()
}

const CODE = /\d{4} \d{4}/

test('whoever is asked for too often is told in words how to get in all the same, and gets in by a mailed link', async ({
  openPage,
}) => {
  const page = await openPage({ expectedErrors: [/429/] })
  const link = await askElsewhere(MAX_REQUESTS.address)
  await ask(page)
  const told = await readMain(page)
  expect(told).toContain('No further mail was sent')
  expect(told).toContain('Another can be sent in 15 minutes')
  expect(told).toContain('each link that was mailed in the last 15 minutes works once, whoever asked for it')
  for (let n = 0; n < MAX_REQUESTS.address; n++) await askNextDoor('nobody@test.invalid')
  await ask(page, 'nobody@test.invalid')
  expect(await readMain(page)).toBe(told)
  await open(page, link)
})

test('a code that was sent before others asked signs in', async ({ openPage }) => {
  const page = await openPage({ expectedErrors: [/429/] })
  const { text } = await receive(page)
  await askElsewhere(MAX_REQUESTS.address)
  await ask(page)
  await page.click('text=Enter a mailed code')
  await page.fill('input[name=code]', CODE.exec(text)?.[0] ?? 'the mail has none')
  await page.click('button:text-is("Sign in")')
  await page.waitForURL(`${server.address}/`)
  await page.locator('header').getByText('Owner').waitFor()
})

test('a stranger behind the same address who asks for many mails leaves the owner a link', async ({
  page,
}) => {
  for (let n = 0; n < 2 * MAX_REQUESTS.source; n++)
    expect((await askNextDoor(`n${n}@test.invalid`)).status).toBe(303)
  const { link, text } = await receive(page)
  expect(text).not.toMatch(CODE)
  expect(text).toContain('This mail has no code')
  const told = await readMain(page)
  expect(told).toContain('a mail with a link is on its way')
  expect(await page.locator('input[name=code]').count()).toBe(0)
  await open(page, link)
})

test('a passkey signs in whatever was asked for and begun by others, also behind the same address', async ({
  page,
}) => {
  await addPasskeyDevice(page)
  await open(page, (await receive(page)).link)
  await page.goto(`${server.address}/me`)
  await page.fill('input[name=name]', 'phone at the line')
  await page.click('text=Add a passkey')
  await page.locator('th', { hasText: 'phone at the line' }).waitFor()
  await page.locator('header').getByText('Sign out').click()
  await page.waitForURL('**/sign-in')

  await askElsewhere(MAX_REQUESTS.address)
  for (let n = 0; n < 100; n++)
    await fetch(`${server.address}/api/passkey/use-begin`, { headers: { 'sec-fetch-site': 'same-origin' } })
  for (let n = 0; n < 100; n++)
    await fetch(`${server.address}/api/passkey/use-end`, {
      method: 'POST',
      headers: { origin: server.address, 'content-type': 'application/json' },
      body: '{}',
    })
  await page.click('text=Use a passkey')
  await page.waitForURL(`${server.address}/`)
  await page.locator('header').getByText('Owner').waitFor()
})
