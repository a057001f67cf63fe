import { type ChildProcess, spawn, spawnSync } from 'node:child_process'
import {
  cpSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  writeFileSync,
} from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import pg from 'pg'
import { afterEach, beforeEach, describe, expect, test } from 'vitest'
import { findBinaries, prepareBinaries } from '@/lib/store/engine/binaries'
import { getClusterFolder } from '@/lib/store/engine/cluster'
import { type Engine, findRunningEngineUrl, startEngine } from '@/lib/store/engine/engine'
import { EngineBusyError } from '@/lib/store/engine/engineError'
import { findClusterProcesses, getMarkScope, readProcessMark } from '@/lib/store/engine/processes'
import { stopProcesses } from '@/lib/store/engine/stopProcesses'
import { ensureDatabase } from '@/lib/store/migrate/databases'
import { migrate } from '@/lib/store/migrate/migrate'

let dataDir: string
let engine: Engine | undefined
const children: ChildProcess[] = []

beforeEach(() => {
  dataDir = mkdtempSync(join(tmpdir(), 'holdfast-engine-'))
})
afterEach(async () => {
  for (const child of children.splice(0)) child.kill('SIGKILL')
  await engine?.stop()
  engine = undefined
  // What a launcher killed by a test left running.
  await stopProcesses(getClusterFolder(dataDir), await findBinaries())
  rmSync(dataDir, { recursive: true, force: true })
})

const start = async () => {
  engine = await startEngine({ dataDir })
  return engine
}

async function ask<T extends pg.QueryResultRow>(url: string, sql: string): Promise<T[]> {
  const client = new pg.Client({ connectionString: url })
  client.on('error', () => {})
  await client.connect()
  try {
    return (await client.query<T>(sql)).rows
  } finally {
    await client.end()
  }
}

/**
 * Starts a launcher in a process of its own that the test can kill. It prints its engine's process id once that is
 * ready.
 */
async function startElsewhere(): Promise<{ child: ChildProcess; pid: number }> {
  const code = `import { startEngine } from '@/lib/store/engine/engine'
    const engine = await startEngine({ dataDir: ${JSON.stringify(dataDir)} })
    console.log(engine.pid)
    setInterval(() => {}, 1000)`
  const child = spawn(process.execPath, ['--import', 'tsx', '--input-type=module', '--eval', code], {
    stdio: ['ignore', 'pipe', 'inherit'],
  })
  children.push(child)
  const pid = await new Promise<number>((resolve, reject) => {
    child.stdout?.once('data', (text) => resolve(Number(text)))
    child.once('exit', () => reject(new Error('The launcher ended before its engine was up.')))
  })
  return { child, pid }
}

async function kill(child: ChildProcess) {
  const gone = new Promise((resolve) => child.once('exit', resolve))
  child.kill('SIGKILL')
  await gone
}

describe('a first start', () => {
  test('makes a cluster in UTC that only its password opens, on the loopback address', async () => {
    const { url } = await start()
    const rows = await ask(
      url('postgres'),
      `select name, setting from pg_settings
       where name in ('TimeZone', 'log_timezone', 'listen_addresses', 'fsync', 'synchronous_commit', 'server_encoding')`,
    )
    expect(Object.fromEntries(rows.map(({ name, setting }) => [name, setting]))).toEqual({
      TimeZone: 'UTC',
      log_timezone: 'UTC',
      listen_addresses: '127.0.0.1',
      fsync: 'on',
      synchronous_commit: 'on',
      server_encoding: 'UTF8',
    })
    const wrong = new URL(url('postgres'))
    wrong.password = 'guess'
    await expect(ask(wrong.href, 'select 1')).rejects.toThrow(/password authentication failed/)
    expect(statSync(join(dataDir, 'engine/password')).mode & 0o077).toBe(0)
  })

  test('that was cut short leaves nothing in the way of the next', async () => {
    const half = join(dataDir, 'engine.new-cut', 'cluster')
    mkdirSync(half, { recursive: true })
    writeFileSync(join(half, 'PG_VERSION'), '18\n')
    const { url } = await start()
    expect(await ask(url('postgres'), 'select 1 as one')).toEqual([{ one: 1 }])
    expect(readdirSync(dataDir).filter((name) => name.startsWith('engine.new'))).toEqual([])
  })

  test('makes the links and execute bits that installing may have left out', async () => {
    const { root } = await findBinaries()
    const copy = join(dataDir, 'native')
    cpSync(root, copy, {
      recursive: true,
      filter: (path) => !path.includes('/lib/') || !isLinkName(root, path),
    })
    const links = JSON.parse(readFileSync(join(root, 'pg-symlinks.json'), 'utf8')) as { target: string }[]
    const linkPaths = links.map(({ target }) => join(dataDir, target))
    expect(linkPaths.filter((path) => existsSync(path))).toEqual([])
    await prepareBinaries(copy)
    expect(linkPaths.filter((path) => !existsSync(path))).toEqual([])
    await prepareBinaries(copy)
  })
})

function isLinkName(root: string, path: string): boolean {
  const links = JSON.parse(readFileSync(join(root, 'pg-symlinks.json'), 'utf8')) as { target: string }[]
  return links.some(({ target }) => path.endsWith(target.slice('native'.length)))
}

describe('two on one folder', () => {
  test('in one process: the second is refused and names who has it', async () => {
    await start()
    await expect(startEngine({ dataDir })).rejects.toThrow(EngineBusyError)
    await expect(startEngine({ dataDir })).rejects.toThrow(`process ${process.pid}`)
  })

  test('in two processes: the second is refused, and can use the first one’s engine instead', async () => {
    const { child } = await startElsewhere()
    await expect(startEngine({ dataDir })).rejects.toThrow(`process ${child.pid}`)
    const url = await findRunningEngineUrl(dataDir, 'postgres')
    expect(await ask(url ?? '', 'select 1 as one')).toEqual([{ one: 1 }])
  })

  test('one after the other: stopping gives the folder free', async () => {
    await (await start()).stop()
    expect(await findRunningEngineUrl(dataDir, 'postgres')).toBeNull()
    expect((await start()).remarks).toEqual([])
  })
})

describe('after a kill', () => {
  const write = async (url: string) => {
    await ask(url, 'create table kept (n int)')
    await ask(url, 'insert into kept select generate_series(1, 1000)')
  }
  const count = async (url: string) =>
    (await ask<{ n: number }>(url, 'select count(*)::int as n from kept'))[0]?.n

  test('of the launcher, the engine ends with it, and starts again with all rows', async () => {
    const { child } = await startElsewhere()
    await write((await findRunningEngineUrl(dataDir, 'postgres')) ?? '')
    await kill(child)
    await expect
      .poll(() => findClusterProcesses(getClusterFolder(dataDir)).all, { timeout: 20_000 })
      .toEqual([])
    expect(await count((await start()).url('postgres'))).toBe(1000)
  })

  test('of the launcher while a session is at work and another waits for it, none stays', async () => {
    const { child } = await startElsewhere()
    const url = (await findRunningEngineUrl(dataDir, 'postgres')) ?? ''
    await write(url)
    const atWork = ask(
      url,
      'begin; lock table kept; select count(*) from generate_series(1, 200000000)',
    ).catch(() => 'cut off')
    const waiting = ask(url, 'begin; lock table kept; select pg_sleep(600)').catch(() => 'cut off')
    const countSessions = async () =>
      (
        await ask<{ n: number }>(
          url,
          `select count(*)::int as n from pg_locks where relation = 'kept'::regclass`,
        )
      )[0]?.n
    await expect.poll(countSessions).toBe(2)
    await kill(child)
    expect(await Promise.all([atWork, waiting])).toEqual(['cut off', 'cut off'])
    await expect
      .poll(() => findClusterProcesses(getClusterFolder(dataDir)).all, { timeout: 20_000 })
      .toEqual([])
  })

  test.skipIf(process.platform === 'win32')(
    'of nothing, but with a session that hangs: a stop cuts it off in its time, and the next start has all rows',
    async () => {
      const first = await start()
      await write(first.url('postgres'))
      const client = new pg.Client({ connectionString: first.url('postgres') })
      client.on('error', () => {})
      await client.connect()
      const { rows } = await client.query('select pg_backend_pid() as pid')
      process.kill(rows[0].pid, 'SIGSTOP')
      const startedAt = Date.now()
      expect(await first.stop(1_600)).toMatch(/^PostgreSQL did not shut down in time and was cut off\./)
      expect(Date.now() - startedAt).toBeLessThan(5_000)
      expect(findClusterProcesses(getClusterFolder(dataDir)).all).toEqual([])
      const again = await start()
      expect(await count(again.url('postgres'))).toBe(1000)
      expect(await again.stop(20_000)).toBeNull()
    },
  )

  test.skipIf(process.platform === 'win32')(
    'of the launcher and of the shell that watches it, the next start says what it found, and has all rows',
    async () => {
      const { child, pid } = await startElsewhere()
      await write((await findRunningEngineUrl(dataDir, 'postgres')) ?? '')
      const watch = spawnSync('ps', ['-axo', 'pid=,args='], { encoding: 'utf8' }).stdout
      const [, watcher] = new RegExp(`^ *(\\d+) .*holdfast-engine-watch ${pid}$`, 'm').exec(watch) ?? []
      process.kill(Number(watcher), 'SIGKILL')
      await kill(child)
      expect(findClusterProcesses(getClusterFolder(dataDir)).postmaster).toBe(pid)
      const { url, remarks, pid: newPid } = await start()
      expect(remarks.join()).toContain(`process ${pid}`)
      expect(newPid).not.toBe(pid)
      expect(await count(url('postgres'))).toBe(1000)
    },
  )

  test('of the postmaster, with a session at work, the next start has all rows', async () => {
    const first = await start()
    await write(first.url('postgres'))
    const why = new Promise<string>((resolve) => first.onDeath(resolve))
    const busy = ask(first.url('postgres'), `select count(*) from generate_series(1, 200000000)`).catch(
      () => 'cut off',
    )
    await new Promise((resolve) => setTimeout(resolve, 300))
    process.kill(first.pid, 'SIGKILL')
    expect(await why).toContain('SIGKILL')
    expect(findClusterProcesses(getClusterFolder(dataDir)).all.length).toBeGreaterThan(0)
    await first.stop()
    expect(await busy).toBe('cut off')
    const second = await start()
    expect(await count(second.url('postgres'))).toBe(1000)
  })

  test('of a single session, the engine mends itself', async () => {
    const { url, pid } = await start()
    await write(url('postgres'))
    const [row] = await ask<{ pid: number }>(url('postgres'), 'select pg_backend_pid() as pid')
    expect(row?.pid).not.toBe(pid)
    const victim = new pg.Client({ connectionString: url('postgres') })
    const cut = new Promise((resolve) => victim.on('error', resolve))
    await victim.connect()
    const { rows } = await victim.query('select pg_backend_pid() as pid')
    process.kill(rows[0].pid, 'SIGKILL')
    await cut
    await expect.poll(() => count(url('postgres')).catch(() => 0), { timeout: 20_000 }).toBe(1000)
  })

  test('an id in postmaster.pid that another process was given since is not mistaken for the engine', async () => {
    await (await start()).stop()
    const stranger = spawn(process.execPath, ['--eval', 'setInterval(() => {}, 1000)'])
    children.push(stranger)
    const cluster = getClusterFolder(dataDir)
    writeFileSync(
      join(cluster, 'postmaster.pid'),
      `${stranger.pid}\n${cluster}\n1700000000\n5432\n\n127.0.0.1\n  0  0\n`,
    )
    const earlier = `${getMarkScope(readProcessMark(process.pid) ?? '')} 1`
    writeFileSync(join(dataDir, 'lock.9'), `${JSON.stringify({ pid: stranger.pid, mark: earlier })}\n`)
    expect(findClusterProcesses(cluster)).toEqual({ postmaster: null, all: [] })
    const { url } = await start()
    expect(await ask(url('postgres'), 'select 1 as one')).toEqual([{ one: 1 }])
    expect(stranger.exitCode).toBeNull()
  })
})

test('migrations of several databases at once all find the one role they share', async () => {
  const { url } = await start()
  const urls = ['one', 'two', 'three', 'four'].map(url)
  await Promise.all(urls.map((each) => ensureDatabase(each)))
  await Promise.all(urls.map((each) => migrate({ url: each })))
  expect(
    await ask(url('postgres'), `select rolcanlogin from pg_roles where rolname = 'holdfast_app'`),
  ).toEqual([{ rolcanlogin: false }])
})
