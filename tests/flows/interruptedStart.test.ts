import { mkdtempSync, readdirSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, afterEach, beforeAll, expect, test } from 'vitest'
import { ensureBuild } from '@/lib/commands/build'
import { getClusterFolder } from '@/lib/store/engine/cluster'
import { findRunningEngineUrl } from '@/lib/store/engine/engine'
import { findFreePort } from '@/lib/store/engine/freePort'
import { findClusterProcesses } from '@/lib/store/engine/processes'
import { databaseExists, ensureDatabase } from '@/lib/store/migrate/databases'
import { openOwnerPool } from '@/lib/store/scope/pool'
import { endRunningCommands, launchCommand } from '../setup/launcher'

const dataDir = mkdtempSync(join(tmpdir(), 'holdfast-interrupted-'))
beforeAll(async () => {
  await ensureBuild()
})
afterEach(endRunningCommands)
afterAll(() => rmSync(dataDir, { recursive: true, force: true }))

const start = async () =>
  launchCommand('start', [], { HOLDFAST_DATA_DIR: dataDir, PORT: String(await findFreePort()) })

// One first start, cut again and again; each try goes on with what the one before left.
test.each([
  ['while the cluster is made', /✓ Environment/],
  ['once PostgreSQL runs', /✓ Database/],
  ['while the demo is made', /creating the demo/],
  ['in the middle of the demo', /20000 of \d+ events/],
])('Ctrl-C %s ends everything and leaves no process', async (_, pattern) => {
  const run = await start()
  await run.waitFor(pattern)
  run.child.kill('SIGINT')
  expect(await run.ended).toBe(0)
  const listLeft = () => {
    try {
      return findClusterProcesses(getClusterFolder(dataDir)).all
    } catch {
      // There is no cluster yet.
      return []
    }
  }
  await expect.poll(listLeft, { timeout: 20_000 }).toEqual([])
})

test('the next start is a first start like any other', async () => {
  const run = await start()
  await run.waitFor(/Serving the demo programme on/)
  expect(readdirSync(dataDir).filter((name) => name.startsWith('engine.new'))).toEqual([])
  const url = (await findRunningEngineUrl(dataDir, 'holdfast')) ?? ''
  expect(await databaseExists(url, 'holdfast_demo_loading')).toBe(false)
  const pool = openOwnerPool((await findRunningEngineUrl(dataDir, 'holdfast_demo')) ?? '', { max: 1 })
  const { rows } = await pool.query('select count(*) > 1000 as many from sample')
  await pool.end()
  expect(rows).toEqual([{ many: true }])
  // For the migration below.
  await ensureDatabase((await findRunningEngineUrl(dataDir, 'cut')) ?? '')
})

test('Ctrl-C in a migration leaves whole migrations, and the next run does the rest', async () => {
  const run = await start()
  await run.waitFor(/Serving the demo programme on/)
  const url = (await findRunningEngineUrl(dataDir, 'cut')) ?? ''
  const pool = openOwnerPool(url, { max: 1 })
  const migrate = () => launchCommand('migrate', [], { DATABASE_URL: url })
  const cut = migrate()
  await cut.waitFor(/✓ Database/)
  const countTables = async () => {
    const { rows } = await pool.query(`select count(*)::int as n from pg_tables where schemaname = 'public'`)
    return rows[0].n as number
  }
  await expect.poll(countTables, { interval: 5 }).toBeGreaterThan(2)
  cut.child.kill('SIGINT')
  await cut.ended
  const again = migrate()
  expect(await again.ended, again.output()).toBe(0)
  const third = migrate()
  expect(await third.ended).toBe(0)
  expect(third.output()).toContain('0 applied.')
  await pool.end()
})
