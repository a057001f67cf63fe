import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, expect, test, vi } from 'vitest'
import { startWebServer } from '@/lib/commands/webServer'
import { findFreePort } from '@/lib/store/engine/freePort'
import { KIT, makeKits, smallRegister } from '@/tests/cases/smallProgramme'
import { makeTestKey } from '@/tests/setup/apiKey'
import { makeTestDatabase, type TestDatabase } from '@/tests/setup/database'
import { atEndOfFile } from '@/tests/setup/endOfFile'
import { launchCommand } from '@/tests/setup/launcher'
import { startTestServer, type TestServer } from '@/tests/setup/server'

const folder = mkdtempSync(join(tmpdir(), 'holdfast-load-'))
afterAll(() => rmSync(folder, { recursive: true, force: true }))

const write = (name: string, text: string) => {
  const path = join(folder, name)
  writeFileSync(path, text)
  return path
}

let server: TestServer
let database: TestDatabase
let key: string
beforeAll(async () => {
  database = await makeTestDatabase()
  server = await startTestServer(database.url)
  key = await makeTestKey(database)
})

async function load(...files: string[]): Promise<{ code: number | string; output: string }> {
  const command = launchCommand('load', [...files, '--to', server.address], { HOLDFAST_KEY: key })
  const code = await command.ended
  return { code, output: command.output() }
}

/** Enough for the events of one file: of one sample a key reports 1,500 at most. The last two have a test of their own. */
const ALL_KITS = makeKits(32)
const KITS = ALL_KITS.slice(0, 30)

const event = (id: string, more = {}) =>
  JSON.stringify({ source: 'desk', id, sample: KIT, kind: 'scanned', at: '2026-10-19T10:00:00Z', ...more })

test('a file of more events than a body may have is cut up, with every refused line told', async () => {
  const register = write('register.json', JSON.stringify(smallRegister({ kits: ALL_KITS }), null, 2))
  const lines = Array.from({ length: 21_000 }, (_, n) =>
    event(`many ${n}`, { sample: KITS[n % KITS.length]?.code }),
  )
  lines[20_500] = event('wrong', { kind: 'nothing' })
  lines[3] = 'not json'
  const events = write('events.ndjson', `\ufeff${lines.join('\n')}`)
  const { code, output } = await load(register, events)
  expect(output).toContain('39 entries added')
  expect(output).toContain('20998 accepted, 0 already known, 0 unplaced, 2 refused')
  expect(output).toMatch(/refused line 4: .*not JSON/)
  expect(output).toMatch(/refused line 20501: \/kind/)
  expect(code).toBe(3)
  const { rows } = await database.owner.query('select count(*)::int as count from event')
  expect(rows).toEqual([{ count: 20_998 }])
})

test('a batch of large events is cut by its size', async () => {
  const note = 'é'.repeat(15_000)
  const lines = Array.from({ length: 700 }, (_, n) => event(`large ${n}`, { note }))
  expect(Buffer.byteLength(lines.join('\n'))).toBeGreaterThan(20_000_000)
  const { code, output } = await load(write('large.ndjson', lines.join('\n')))
  expect([code, output]).toEqual([0, expect.stringContaining('700 accepted')])
})

test('a file with too much of one sample: only that is refused, line by line, and a repeat does the same', async () => {
  const [full, other] = ALL_KITS.slice(30).map(({ code }) => code)
  const before = event('before', { sample: other })
  const repeated = Array.from({ length: 1_510 }, (_, n) => event(`repeated ${n}`, { sample: full }))
  const after = Array.from({ length: 900 }, (_, n) => event(`after ${n}`, { sample: other }))
  const file = write('repeated.ndjson', [before, ...repeated, ...after].join('\n'))
  const first = await load(file)
  expect(first.output).toContain('2401 accepted, 0 already known, 0 unplaced, 10 refused')
  expect(first.output).toMatch(/refused line 1502: .*1500 events of its sample.* Leave out/)
  expect(first.code).toBe(3)
  const again = await load(file)
  expect([again.code, again.output]).toEqual([3, expect.stringContaining('0 accepted, 2401 already known')])
})

test('a list of JSON and a table of CSV are cut up as well', async () => {
  const list = write('list.json', `[${[event('list 1'), event('list 2')].join(',\n')}]`)
  const rows = [1, 2, 3].map((n) => `desk,row ${n},${KIT},scanned,2026-10-19T10:00:00Z`)
  const table = write('table.csv', ['source,id,sample,kind,at', ...rows].join('\r\n'))
  const { code, output } = await load(list, table)
  expect(output).toMatch(/list\.json: 2 accepted[\s\S]*table\.csv: 3 accepted/)
  expect(code).toBe(0)
})

test('a file that is not there is told before anything is sent', async () => {
  const { code, output } = await load(write('first.ndjson', event('never')), join(folder, 'none.ndjson'))
  expect([code, output]).toEqual([2, expect.stringContaining('none.ndjson cannot be read')])
  expect((await database.owner.query("select 1 from event where id = 'never'")).rows).toEqual([])
})

test('a server that is started again meanwhile gets the whole file; one that stays away is told with the totals', async () => {
  const own = await makeTestDatabase()
  const port = await findFreePort()
  const start = () => startWebServer({ databaseUrl: own.url, port, onError: () => {} })
  let serving = await start()
  atEndOfFile(() => serving.stop())
  const kits = makeKits(30)
  const register = write('own.json', JSON.stringify(smallRegister({ kits })))
  const makeFile = (name: string, count: number) =>
    write(
      `${name}.ndjson`,
      Array.from({ length: count }, (_, n) =>
        event(`${name} ${n}`, { sample: kits[n % kits.length]?.code }),
      ).join('\n'),
    )
  const countStored = async (name: string) => {
    const { rows } = await own.owner.query<{ count: number }>(
      'select count(*)::int as count from event where starts_with(id, $1)',
      [name],
    )
    return rows[0]?.count ?? 0
  }
  const variables = { HOLDFAST_KEY: await makeTestKey(own) }
  const launch = (...files: string[]) =>
    launchCommand('load', [...files, '--to', `http://localhost:${port}`], variables)
  const untilSome = (name: string) => vi.waitUntil(async () => (await countStored(name)) > 0, 60_000)

  const first = launch(register, makeFile('again', 20_000))
  await untilSome('again')
  await serving.stop()
  expect(await countStored('again')).toBeLessThan(20_000)
  serving = await start()
  expect(await first.ended, first.output()).toBe(0)
  expect(await countStored('again')).toBe(20_000)

  const second = launch(makeFile('away', 20_000))
  await untilSome('away')
  await serving.stop()
  expect(await second.ended).toBe(1)
  const [, accepted] =
    /until then (\d+) accepted, 0 already known, 0 unplaced, 0 refused\. Run/.exec(second.output()) ?? []
  expect(second.output()).toMatch(/Run the same command again: nothing is stored twice\./)
  expect(Number(accepted)).toBeGreaterThan(0)
  expect(Number(accepted)).toBeLessThanOrEqual(await countStored('away'))
}, 180_000)
