import { parse } from 'csv-parse/sync'
import { beforeAll, describe, expect } from 'vitest'
import { browserTest as test } from '@/tests/setup/browser'
import { makeTestDatabase, type TestDatabase } from '@/tests/setup/database'
import { startTestServer, type TestServer } from '@/tests/setup/server'
import { ADMINISTRATOR, type SignedIn, signInAs } from '@/tests/setup/signIn'

const LINES = 10_000

let database: TestDatabase
let server: TestServer
let administrator: SignedIn
beforeAll(async () => {
  database = await makeTestDatabase()
  server = await startTestServer(database.url)
  administrator = await signInAs(database, ADMINISTRATOR)
  await database.owner.query(
    `insert into audit_entry (who, who_name, what)
     select 'command', 'a command', case when n % 100 = 0 then '=hundred ' else 'line ' end || n
     from generate_series(1, $1::int) as n`,
    [LINES],
  )
})

const downwards = async () => {
  const { rows } = await database.owner.query('select seq from audit_entry order by seq desc')
  expect(rows.length).toBeGreaterThanOrEqual(LINES)
  return rows.map(({ seq }) => String(seq))
}

describe('the audit log', () => {
  test.for([true, false])(
    'is read page by page, newest first, scripts: %s',
    async (javaScriptEnabled, { openPage }) => {
      const page = await openPage({ javaScriptEnabled, as: { who: administrator, address: server.address } })
      const numbers = async () =>
        (await page.locator('tbody td:first-child span').allTextContents()).map((text) =>
          text.replace('no. ', ''),
        )
      const all = await downwards()
      await page.goto(`${server.address}/audit`)
      expect(await numbers()).toEqual(all.slice(0, 100))
      await page.getByRole('link', { name: 'Older' }).click()
      await page.waitForURL(/older=/)
      expect(await numbers()).toEqual(all.slice(100, 200))
      await page.getByRole('link', { name: 'Newest' }).click()
      await page.waitForURL((url) => url.search === '')
      expect(await numbers()).toEqual(all.slice(0, 100))
    },
  )

  test('is one CSV of all lines, each once, newest first', async () => {
    const all = await downwards()
    const reply = await fetch(`${server.address}/api/audit`, { headers: administrator.headers })
    expect(reply.status).toBe(200)
    expect(reply.headers.get('content-type')).toBe('text/csv; charset=utf-8; header=present')
    const [header, ...rows]: string[][] = parse(await reply.text())
    expect(header?.slice(0, 3)).toEqual(['number', 'at', 'who'])
    expect(rows.map(([number]) => number)).toEqual(all)
    // The line about this download is newer than what it holds.
    const { rows: lines } = await database.owner.query(
      'select after from audit_entry order by seq desc limit 1',
    )
    expect(lines).toEqual([{ after: { rows: all.length } }])
    expect(rows.filter((row) => row[5]?.startsWith("'=hundred "))).toHaveLength(LINES / 100)
  })

  test('explains a wrong filter of the CSV in English, whatever the browser asks for', async () => {
    const refuse = async (language: string) => {
      const headers = { ...administrator.headers, 'accept-language': language }
      const reply = await fetch(`${server.address}/api/audit?from=never`, { headers })
      return [reply.status, await reply.json()]
    }
    const [status, problem] = await refuse('en-GB')
    expect([status, problem.type]).toEqual([400, 'urn:holdfast:problem:filter'])
    expect(await refuse('en-XA')).toEqual([status, problem])
  })
})
