import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, afterEach, beforeAll, describe, expect, test } from 'vitest'
import { ensureBuild } from '@/lib/commands/build'
import { readServedNote } from '@/lib/commands/servedNote'
import { getClusterFolder } from '@/lib/store/engine/cluster'
import { findRunningEngineUrl } from '@/lib/store/engine/engine'
import { findFreePort } from '@/lib/store/engine/freePort'
import { findClusterProcesses, readProcessMark } from '@/lib/store/engine/processes'
import { openOwnerPool } from '@/lib/store/scope/pool'
import { drawUsual } from '@/tests/setup/drawUsual'
import { findWebServers } from '@/tests/setup/processes'
import { endRunningCommands, launchProgram, type RunningCommand } from '../setup/launcher'

const dataDir = mkdtempSync(join(tmpdir(), 'holdfast-shutdown-'))
const served = /Serving your programme on (http:\/\/localhost:\d+)/
/** How long a supervisor may wait before it kills, ms. */
const LIMIT_MS = 10_000

beforeAll(async () => {
  await ensureBuild()
  // So that no start has to create the demo.
  writeFileSync(join(dataDir, 'demo-removed'), 'for this test\n')
})
afterEach(endRunningCommands)
afterAll(() => rmSync(dataDir, { recursive: true, force: true }))

const engineProcesses = () => findClusterProcesses(getClusterFolder(dataDir)).all

/** The documented line for supervisors. */
const { scripts } = JSON.parse(readFileSync('package.json', 'utf8')) as { scripts: { start: string } }
const nodeLine = (scripts.start.split(' || ')[0] ?? '').replace('exec node ', '').split(' ')

async function start(program: string, args: string[]) {
  const run = launchProgram(program, args, { HOLDFAST_DATA_DIR: dataDir, PORT: String(await findFreePort()) })
  const [, address = ''] = await run.waitFor(served)
  return { run, address, launcher: readServedNote(dataDir)?.pid ?? 0 }
}

const isServing = (address: string) =>
  fetch(address).then(
    () => true,
    () => false,
  )

/** Waits until launcher, web server and PostgreSQL are gone. @returns the time it took, ms. */
async function waitUntilAllEnded(launcher: number, address: string): Promise<number> {
  const startedAt = Date.now()
  const countLeft = async () => [
    readProcessMark(launcher) !== null,
    await isServing(address),
    engineProcesses().length,
  ]
  await expect.poll(countLeft, { timeout: 60_000, interval: 50 }).toEqual([false, false, 0])
  return Date.now() - startedAt
}

function signal({ child }: RunningCommand, name: NodeJS.Signals) {
  child.kill(name)
}

describe.skipIf(process.platform === 'win32')('a signal to npm alone', () => {
  test.each(drawUsual(['SIGTERM', 'SIGINT'] as const, 1))(
    '%s ends everything before npm ends, with 0',
    async (name) => {
      const { run, address, launcher } = await start('npm', ['start'])
      expect(await isServing(address)).toBe(true)
      const startedAt = Date.now()
      signal(run, name)
      expect(await run.ended).toBe(0)
      expect(Date.now() - startedAt).toBeLessThan(LIMIT_MS)
      expect([readProcessMark(launcher), engineProcesses(), await isServing(address)]).toEqual([
        null,
        [],
        false,
      ])
      expect(run.output()).toContain('Closing the web server and the database.')
      expect(readServedNote(dataDir)).toBeNull()
    },
  )

  test.each(drawUsual(['SIGHUP', 'SIGKILL'] as const, 1))(
    '%s, of which npm tells nobody, ends the rest',
    async (name) => {
      const { run, address, launcher } = await start('npm', ['start'])
      signal(run, name)
      expect(await waitUntilAllEnded(launcher, address)).toBeLessThan(LIMIT_MS)
      expect(run.output()).toContain('npm, which started Holdfast, is gone.')
      expect(readServedNote(dataDir)).toBeNull()
    },
  )
})

describe('the line for supervisors', () => {
  // The launcher takes all three alike.
  const SIGNALS = ['SIGTERM', 'SIGINT', 'SIGHUP'] as const
  test.each(drawUsual(SIGNALS, 1))('%s ends everything in order, with 0', async (name) => {
    const { run, address } = await start(process.execPath, nodeLine)
    expect(await isServing(address)).toBe(true)
    const startedAt = Date.now()
    signal(run, name)
    expect(await run.ended).toBe(0)
    expect(Date.now() - startedAt).toBeLessThan(LIMIT_MS)
    expect([engineProcesses(), await isServing(address)]).toEqual([[], false])
  })

  test('outlives the shell that started it', async () => {
    const variables = { HOLDFAST_DATA_DIR: dataDir, PORT: String(await findFreePort()) }
    const line = `"${process.execPath}" ${nodeLine.join(' ')} & `
    const run = launchProgram('/bin/sh', ['-c', line], variables)
    const exited = new Promise((resolve) => run.child.once('exit', resolve))
    expect(await exited).toBe(0)
    const [, address = ''] = await run.waitFor(served)
    const launcher = readServedNote(dataDir)?.pid ?? 0
    const parent = () => readFileSync(`/proc/${launcher}/stat`, 'utf8').split(') ')[1]?.split(' ')[1]
    if (process.platform === 'linux') expect(parent()).not.toBe(String(run.child.pid))
    expect(await isServing(address)).toBe(true)
    process.kill(launcher, 'SIGTERM')
    await waitUntilAllEnded(launcher, address)
  })

  test('SIGKILL leaves nothing', async () => {
    const { run, address, launcher } = await start(process.execPath, nodeLine)
    signal(run, 'SIGKILL')
    expect(await waitUntilAllEnded(launcher, address)).toBeLessThan(LIMIT_MS)
  })

  test.skipIf(process.platform !== 'linux')(
    'SIGTERM cuts off what hangs, says so, and loses nothing',
    async () => {
      const { run, launcher } = await start(process.execPath, nodeLine)
      const url = (await findRunningEngineUrl(dataDir, 'holdfast')) ?? ''
      const pool = openOwnerPool(url, { max: 1 })
      pool.on('error', () => {})
      await pool.query('create table if not exists kept as select 1 as n')
      const { rows } = await pool.query('select pg_backend_pid() as pid')
      const [web] = findWebServers(launcher)
      for (const hanging of [web?.pid, rows[0].pid]) process.kill(hanging, 'SIGSTOP')
      const startedAt = Date.now()
      signal(run, 'SIGTERM')
      expect(await run.ended).toBe(0)
      expect(Date.now() - startedAt).toBeLessThan(LIMIT_MS)
      expect([readProcessMark(web?.pid ?? 0), engineProcesses()]).toEqual([null, []])
      expect(run.output()).toContain('Cut off, because it did not end in time: the web server.')
      expect(run.output()).toContain('PostgreSQL did not shut down in time and was cut off.')
      await pool.end()
      await start(process.execPath, nodeLine)
      const again = openOwnerPool((await findRunningEngineUrl(dataDir, 'holdfast')) ?? '', { max: 1 })
      expect((await again.query('table kept')).rows).toEqual([{ n: 1 }])
      await again.end()
    },
  )

  test('a second signal while it stops leaves nothing either', async () => {
    const { run, address, launcher } = await start(process.execPath, nodeLine)
    signal(run, 'SIGINT')
    await run.waitFor(/Press again/)
    const again = setInterval(() => signal(run, 'SIGINT'), 100)
    await run.ended
    clearInterval(again)
    await waitUntilAllEnded(launcher, address)
    await start(process.execPath, nodeLine)
  })
})
