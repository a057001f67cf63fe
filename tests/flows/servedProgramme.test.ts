import { existsSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { get } from 'node:http'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { ensureBuild } from '@/lib/commands/build'
import { askToServeAgain } from '@/lib/commands/serveAgain'
import { readServedNote } from '@/lib/commands/servedNote'
import { findRunningEngineUrl } from '@/lib/store/engine/engine'
import { findFreePort } from '@/lib/store/engine/freePort'
import { databaseExists, ensureDatabase } from '@/lib/store/migrate/databases'
import { migrate } from '@/lib/store/migrate/migrate'
import { openOwnerPool } from '@/lib/store/scope/pool'
import { endRunningCommands, launchCommand, type RunningCommand } from '../setup/launcher'
import { findWebServers, killAtOnce } from '../setup/processes'

const dataDir = mkdtempSync(join(tmpdir(), 'holdfast-served-'))
const marker = join(dataDir, 'demo-removed')
const command = (name: string, args: string[] = []) =>
  launchCommand(name, args, { HOLDFAST_DATA_DIR: dataDir })

// One story beside one launcher: each test goes on with what the one before left.
let run: RunningCommand
let address: string

async function start(): Promise<string> {
  run = launchCommand('start', [], { HOLDFAST_DATA_DIR: dataDir, PORT: String(await findFreePort()) })
  const [, whose = '', at = ''] = await run.waitFor(/Serving (the demo|your) programme on (http:\S+)/)
  address = at
  return whose
}

const engineUrl = async (database: string) => (await findRunningEngineUrl(dataDir, database)) ?? ''
const servedDatabase = () => readServedNote(dataDir)?.database
const countServings = () => run.output().match(/Serving (the demo|your) programme on/g)?.length

/** Reads a page over a connection of its own: one that is kept may be closed between two requests. */
const readPage = (url: string) =>
  new Promise<string>((resolve) => {
    const asked = get(url, { agent: false }, async (answer) => {
      const text = await answer.toArray().catch((error) => [String(error)])
      resolve(`${answer.statusCode} ${text.join('').endsWith('</html>') ? 'page' : text}`)
    })
    asked.on('error', (error) => resolve(String(error)))
  })

beforeAll(async () => {
  await ensureBuild()
  writeFileSync(marker, 'for this test\n')
  expect(await start()).toBe('your')
})
afterAll(async () => {
  await endRunningCommands()
  rmSync(dataDir, { recursive: true, force: true })
})

test('two npm run demo at once: one creates it, the other says so, and the running launcher then shows it', async () => {
  const [one, other] = [command('demo'), command('demo')]
  const codes = await Promise.all([one.ended, other.ended])
  expect([...codes].sort(), one.output() + other.output()).toEqual([0, 1])
  const [creator, refused] = codes[0] === 0 ? [one, other] : [other, one]
  expect(refused.output()).toContain(
    `The demo is being created or removed already (process ${creator.child.pid}).`,
  )
  expect(creator.output()).toContain(`Created. The running Holdfast serves the demo on ${address}.`)
  expect(servedDatabase()).toBe('holdfast_demo')
  expect((await fetch(`${address}/sign-in`)).status).toBe(200)
  // It had been removed before.
  expect(existsSync(marker)).toBe(false)
  expect(await databaseExists(await engineUrl('holdfast'), 'holdfast_demo_loading')).toBe(false)
})

test('npm run -s key puts the secret alone on standard output, and says that another programme is served', async () => {
  const key = command('key', ['--name', 'dock', '--source', 'dock'])
  expect(await key.ended).toBe(0)
  expect(key.standardOutput()).toMatch(/^hfk_[\w-]{43}\n$/)
  expect(key.output()).toContain(
    'The running Holdfast serves holdfast_demo, and this key is for holdfast: it does not work there yet.',
  )
  const demoKey = command('key', ['--name', 'dock', '--source', 'dock', '--demo'])
  expect(await demoKey.ended).toBe(0)
  expect(demoKey.output()).not.toContain('does not work')
  const answer = await fetch(`${address}/api/events`, {
    method: 'POST',
    headers: {
      authorization: `Bearer ${demoKey.standardOutput().trim()}`,
      'content-type': 'application/json',
    },
    body: '[]',
  })
  expect(answer.status).not.toBe(401)
})

test('npm run demo beside a launcher that shows the demo: it shows the new one, on the same address', async () => {
  const before = countServings()
  const pool = openOwnerPool(await engineUrl('holdfast_demo'), { max: 1 })
  await pool.query('create table of_the_old_demo ()')
  await pool.end()
  const demo = command('demo')
  expect(await demo.ended).toBe(0)
  expect(demo.output()).toContain(`The running Holdfast serves the demo on ${address}.`)
  expect(countServings()).toBe((before ?? 0) + 1)
  expect((await fetch(`${address}/sign-in`)).status).toBe(200)
  const now = openOwnerPool(await engineUrl('holdfast_demo'), { max: 1 })
  const { rows } = await now.query(`select to_regclass('of_the_old_demo') as old`)
  await now.end()
  expect(rows).toEqual([{ old: null }])
})

test('npm run demo -- --remove beside it: no connection is refused, and no page meets a database that is gone', async () => {
  const answers = new Set<string>()
  let isOver = false
  const reader = (async () => {
    while (!isOver) {
      answers.add(await readPage(`${address}/sign-in`))
      await new Promise(setImmediate)
    }
  })()
  const remove = command('demo', ['--remove'])
  expect(await remove.ended).toBe(0)
  expect(remove.output()).toContain(`Removed. The running Holdfast serves your programme on ${address}.`)
  expect(servedDatabase()).toBe('holdfast')
  expect((await fetch(`${address}/sign-in`)).status).toBe(200)
  isOver = true
  await reader
  expect([...answers]).toEqual(['200 page'])
  expect(await databaseExists(await engineUrl('holdfast'), 'holdfast_demo')).toBe(false)
})

test('npm run admin for a first programme beside a launcher that shows the demo: it changes over to it', async () => {
  // An empty demo does, and is made sooner.
  await ensureDatabase(await engineUrl('holdfast_demo'))
  await migrate({ url: await engineUrl('holdfast_demo') })
  rmSync(marker)
  run.child.kill('SIGTERM')
  await run.ended
  expect(await start()).toBe('the demo')
  const admin = command('admin', ['desk@example.org'])
  expect(await admin.ended).toBe(0)
  expect(admin.output()).toContain('The running Holdfast served the demo; now it serves your programme.')
  const link = new URL(admin.standardOutput())
  expect(link.origin).toBe(address)
  const first = await fetch(`${address}/api/sign-in/link`, {
    method: 'POST',
    redirect: 'manual',
    headers: { origin: address },
    body: new URLSearchParams({ token: link.searchParams.get('token') ?? '' }),
  })
  expect([first.status, first.headers.get('location')]).toEqual([303, '/'])
  const demoAdmin = command('admin', ['desk@example.org', '--demo'])
  expect(await demoAdmin.ended).toBe(0)
  expect(demoAdmin.output()).toContain('The running Holdfast serves holdfast. Restart it')
})

test.skipIf(process.platform !== 'linux').each(['new', 'old'])(
  'a change-over in which the %s web server is killed is made all the same, on the same address',
  async (which) => {
    const servers = () => findWebServers(run.child.pid as number).map(({ pid }) => pid)
    const [old] = servers()
    const asked = askToServeAgain(dataDir, 'holdfast')
    await expect.poll(() => servers().length, { interval: 10, timeout: 30_000 }).toBe(2)
    killAtOnce(servers().find((pid) => (pid === old) === (which === 'old')) as number)
    expect(await asked, run.output()).toMatchObject({ address, database: 'holdfast' })
    expect((await fetch(`${address}/sign-in`)).status).toBe(200)
    expect(servers()).toEqual([expect.not.toSatisfy((pid) => pid === old)])
    expect(run.output()).not.toContain('Another program')
  },
)

test('npm run demo beside a programme leaves the programme served, on another server refuses to replace what is', async () => {
  const remove = command('demo', ['--remove'])
  expect(await remove.ended).toBe(0)
  expect(remove.output()).not.toContain('running Holdfast serves')
  expect(servedDatabase()).toBe('holdfast')
  const url = (await engineUrl('holdfast')).replace(/holdfast\?/, 'holdfast_demo?')
  await ensureDatabase(url)
  await migrate({ url })
  const served = join(dataDir, 'elsewhere')
  const other = launchCommand('start', [], {
    DATABASE_URL: url,
    HOLDFAST_DATA_DIR: served,
    PORT: String(await findFreePort()),
  })
  await other.waitFor(/Serving your programme/)
  const refused = launchCommand('demo', ['--remove'], {
    DATABASE_URL: await engineUrl('holdfast'),
    HOLDFAST_DATA_DIR: served,
  })
  expect(await refused.ended).toBe(1)
  expect(refused.output()).toContain(
    `The running Holdfast (process ${other.child.pid}) serves holdfast_demo. Stop it first.`,
  )
  expect(await databaseExists(url, 'holdfast_demo')).toBe(true)
})
