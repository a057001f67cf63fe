import { spawnSync } from 'node:child_process'
import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { createServer } from 'node:http'
import type { AddressInfo } from 'node:net'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, type TestContext, test } from 'vitest'
import { ensureBuild } from '@/lib/commands/build'
import { getClusterFolder } from '@/lib/store/engine/cluster'
import { findRunningEngineUrl } from '@/lib/store/engine/engine'
import { findFreePort } from '@/lib/store/engine/freePort'
import { findClusterProcesses, readProcessMark } from '@/lib/store/engine/processes'
import { buildChildEnvironment } from '@/lib/store/environment'
import { databaseExists } from '@/lib/store/migrate/databases'
import { openOwnerPool } from '@/lib/store/scope/pool'
import { makeEmptyTestDatabase } from '../setup/database'
import { endRunningCommands, launchCommand, type RunningCommand, START_STEPS } from '../setup/launcher'
import { findWebServers } from '../setup/processes'

const dataDir = mkdtempSync(join(tmpdir(), 'holdfast-start-'))
let port: number

beforeAll(async () => {
  await ensureBuild()
  port = await findFreePort()
})
// Otherwise the next start finds the data folder in use.
afterEach(async ({ task }) => {
  if (task.result?.state === 'fail') await endRunningCommands()
})
afterAll(async () => {
  await endRunningCommands()
  rmSync(dataDir, { recursive: true, force: true })
})

const start = () => launchCommand('start', [], { HOLDFAST_DATA_DIR: dataDir, PORT: String(port) })
const served = /Serving (the demo|your) programme on (http:\/\/localhost:\d+)/
const webServers = () => findWebServers(run.child.pid as number).map(({ pid }) => pid)
const engineProcesses = () => findClusterProcesses(getClusterFolder(dataDir)).all

async function query(sql: string, database = 'holdfast'): Promise<Record<string, unknown>[]> {
  const url = await findRunningEngineUrl(dataDir, database)
  const pool = openOwnerPool(url ?? '', { max: 1 })
  try {
    return (await pool.query(sql)).rows
  } finally {
    await pool.end()
  }
}

async function isServing(address: string): Promise<boolean> {
  return fetch(address).then(
    (answer) => answer.ok,
    () => false,
  )
}

async function endBy(signal: NodeJS.Signals, { child, ended }: RunningCommand) {
  child.kill(signal)
  return ended
}

// One story: each test continues with what the previous one left running and on disk, since a start takes seconds.
let run: RunningCommand
let address: string

/** Skips a test that continues with a running program if there is none. */
function goOn({ skip }: TestContext) {
  const isRunning = run && run.child.exitCode === null && run.child.signalCode === null
  skip(!isRunning, 'it goes on with what a test before it leaves running, and nothing is')
}

/** Starts Holdfast and waits until it serves. @returns which programme. */
async function startAndWait(): Promise<string> {
  run = start()
  const [, programme = '', at = ''] = await run.waitFor(served)
  address = at
  return programme
}

describe('npm start on a machine that has nothing', () => {
  test('goes from nothing to the demo’s board, says each step, and SIGINT leaves no process behind', async () => {
    expect(await startAndWait()).toBe('the demo')
    expect([...run.output().matchAll(/^✓ (\w+( \w+)?) {2}/gm)].map((found) => found[1])).toEqual(START_STEPS)
    expect(run.output()).toContain('127.0.0.1')
    expect(await isServing(address)).toBe(true)
    expect(await query('select count(*) > 1000 as many from sample', 'holdfast_demo')).toEqual([
      { many: true },
    ])
    expect(await query(`select tablename from pg_tables where schemaname = 'public'`)).toEqual([])
    expect(await endBy('SIGINT', run)).toBe(0)
    expect(await isServing(address)).toBe(false)
    expect(engineProcesses()).toEqual([])
  })

  test('removes the demo on command, and does not restore it by itself', async () => {
    const remove = launchCommand('demo', ['--remove'], { HOLDFAST_DATA_DIR: dataDir })
    expect(await remove.ended).toBe(0)
    expect(await startAndWait()).toBe('your')
    const url = (await findRunningEngineUrl(dataDir, 'holdfast')) ?? ''
    expect(await databaseExists(url, 'holdfast_demo')).toBe(false)
  })
})

describe('npm start after a kill', () => {
  beforeEach(goOn)
  beforeAll(() =>
    writeFileSync(join(dataDir, 'demo-removed'), 'so that the programme under test is the real one\n'),
  )
  const kept = () => query('select n from kept order by n')
  const keep = async (n: number) => {
    await query('create table if not exists kept (n int primary key)')
    await query(`insert into kept values (${n}) on conflict do nothing`)
  }

  test('of the launcher: no process is left, and the next start has what was acknowledged', async () => {
    await keep(1)
    expect(engineProcesses()).not.toEqual([])
    expect(await endBy('SIGKILL', run)).toBe('SIGKILL')
    await expect.poll(() => isServing(address), { timeout: 10_000 }).toBe(false)
    await expect.poll(engineProcesses, { timeout: 10_000 }).toEqual([])
    await startAndWait()
    expect(await kept()).toEqual([{ n: 1 }])
  })

  test('of PostgreSQL: the launcher says so and ends, and the next start has what was acknowledged', async () => {
    await keep(2)
    const { postmaster } = findClusterProcesses(getClusterFolder(dataDir))
    process.kill(postmaster as number, 'SIGKILL')
    expect(await run.ended).toBe(1)
    expect(run.output()).toMatch(/PostgreSQL exited unexpectedly \(SIGKILL\)/)
    expect(engineProcesses()).toEqual([])
    await startAndWait()
    expect(await kept()).toEqual([{ n: 1 }, { n: 2 }])
  })
})

describe('npm start beside others', () => {
  beforeEach(goOn)

  test('on the same data says who has them and ends; commands work on the running engine', async () => {
    const second = start()
    expect(await second.ended).toBe(1)
    expect(second.output()).toContain(`already running on ${dataDir} (process ${run.child.pid})`)
    expect(await isServing(address)).toBe(true)
    const logs = readdirSync(join(dataDir, 'logs')).map((name) => join(dataDir, 'logs', name))
    expect(
      logs.filter((file) => readFileSync(file, 'utf8').includes(`"pid":${run.child.pid},`)),
    ).toHaveLength(1)
    expect(logs.filter((file) => readFileSync(file, 'utf8').includes(`"pid":${second.child.pid},`))).toEqual(
      [],
    )
    const migrated = launchCommand('migrate', [], { HOLDFAST_DATA_DIR: dataDir })
    expect(await migrated.ended).toBe(0)
    const reset = launchCommand('reset', [], { HOLDFAST_DATA_DIR: dataDir })
    expect(await reset.ended).toBe(1)
    expect(reset.output()).toContain('This destroys everything in the database holdfast')
    expect(await query('select count(*)::int as n from kept')).toEqual([{ n: 2 }])
  })

  test('npm run admin makes an administrator on the running engine, and its link signs in once', async () => {
    expect(run.output()).toMatch(/Mail +SMTP_URL is not set: mail is written to .*outbox/)
    const wrong = launchCommand('admin', ['no address'], { HOLDFAST_DATA_DIR: dataDir })
    expect(await wrong.ended).toBe(1)
    expect(wrong.output()).toContain('Name one e-mail address.')
    const admin = launchCommand('admin', ['Desk@Example.org'], { HOLDFAST_DATA_DIR: dataDir })
    expect(await admin.ended).toBe(0)
    const link = new URL(/http\S+/.exec(admin.output())?.[0] ?? '')
    expect(link.origin).toBe(address)
    expect((await fetch(link)).status).toBe(200)
    const press = () =>
      fetch(`${address}/api/sign-in/link`, {
        method: 'POST',
        redirect: 'manual',
        headers: { origin: address },
        body: new URLSearchParams({ token: link.searchParams.get('token') ?? '' }),
      })
    const first = await press()
    expect([first.status, first.headers.get('location')]).toEqual([303, '/'])
    const cookie = first.headers
      .getSetCookie()
      .map((text) => text.split(';')[0])
      .join('; ')
    expect(
      (await fetch(`${address}/api/board`, { headers: { cookie, 'sec-fetch-site': 'same-origin' } })).status,
    ).toBe(200)
    expect((await press()).headers.get('location')).toBe('/sign-in?wrong=link')
    expect(
      await query(`select what, subject = person.id as "isTheirs", email, role
      from audit_entry join person on subject = person.id join person_role on person_id = person.id where who = 'command'`),
    ).toEqual([
      { what: 'entered a person', isTheirs: true, email: 'desk@example.org', role: 'administrator' },
    ])
  })
})

test('a web server that ends by itself is started again on its port, for which it waits', async (context) => {
  goOn(context)
  context.skip(process.platform !== 'linux', 'finding the web server takes /proc')
  const occupant = createServer()
  for (const isTaken of [false, true]) {
    const pids = webServers()
    expect(pids).toHaveLength(1)
    process.kill(pids[0] as number, 'SIGKILL')
    await run.waitFor(
      new RegExp(`exited unexpectedly \\(SIGKILL\\)\\. Starting again in ${isTaken ? 2 : 1} s\\.`),
    )
    if (isTaken) {
      await new Promise<void>((resolve) => occupant.listen(port, '127.0.0.1', resolve))
      await run.waitFor(
        new RegExp(`taken port ${port}; Holdfast waits until it is free\\. Starting again in 4 s`),
      )
      await new Promise((resolve) => occupant.close(resolve))
    }
    await run.waitFor(new RegExp(`(Serves again on ${address}\\.[^]*){${isTaken ? 2 : 1}}`))
    expect(await isServing(address)).toBe(true)
    expect(webServers()).not.toContain(pids[0])
  }
  const stranded = webServers()
  expect(await endBy('SIGTERM', run)).toBe(0)
  expect(stranded.map(readProcessMark)).toEqual([null])
  expect(engineProcesses()).toEqual([])
})

test.each([0, 20, 900])('a web server does not outlive a launcher that dies %i ms on', async (afterMs) => {
  const launcher = `
    const { fork } = require('node:child_process')
    const stdio = ['ignore', 'ignore', 'ignore', 'ipc']
    console.log(fork('lib/commands/serve.mjs', ['${await findFreePort()}', ''], { stdio }).pid)
    setTimeout(() => process.kill(process.pid, 'SIGKILL'), ${afterMs})`
  const env = buildChildEnvironment({
    DATABASE_URL: 'postgres://nobody@127.0.0.1:1/none',
    NODE_ENV: 'production',
  })
  const { stdout } = spawnSync(process.execPath, ['-e', launcher], { env, encoding: 'utf8' })
  expect(Number(stdout)).toBeGreaterThan(0)
  await expect.poll(() => readProcessMark(Number(stdout)), { timeout: 20_000 }).toBeNull()
})

describe('npm start', () => {
  beforeAll(endRunningCommands)
  afterEach(endRunningCommands)

  test('on a taken port takes the next free one and says so', async () => {
    const occupant = createServer((_, answer) => answer.end('another program'))
    await new Promise<void>((resolve) => occupant.listen(0, '127.0.0.1', resolve))
    const { port: taken } = occupant.address() as AddressInfo
    const run = launchCommand('start', [], { HOLDFAST_DATA_DIR: dataDir, PORT: String(taken) })
    const [, , address = ''] = await run.waitFor(served)
    await new Promise((resolve) => occupant.close(resolve))
    expect(run.output()).toContain(`Port ${taken} is taken; using the next free one.`)
    expect(Number(new URL(address).port)).toBeGreaterThan(taken)
    expect(await isServing(address)).toBe(true)
  })

  test('with DATABASE_URL uses that server, puts no demo into it and starts no engine', async () => {
    const database = await makeEmptyTestDatabase()
    const unused = join(dataDir, 'unused')
    const variables = { DATABASE_URL: database.url, HOLDFAST_DATA_DIR: unused, PORT: String(port) }
    const run = launchCommand('start', [], variables)
    const [, programme, address = ''] = await run.waitFor(served)
    expect(programme).toBe('your')
    expect(await isServing(address)).toBe(true)
    const { rows } = await database.owner.query('select count(*)::int as n from register_entry')
    expect(rows).toEqual([{ n: 0 }])
    expect(existsSync(getClusterFolder(unused))).toBe(false)
    expect(await endBy('SIGTERM', run)).toBe(0)
  })

  test('with wrong settings names each and starts nothing', async () => {
    const run = launchCommand('start', [], { DATABASE_URL: 'nowhere', PORT: 'none' })
    expect(await run.ended).toBe(1)
    expect(run.output()).toMatch(/✗ Environment +DATABASE_URL must be .*\n +PORT must be /)
  })
})
