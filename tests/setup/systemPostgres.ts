import { spawn, spawnSync } from 'node:child_process'
import { chownSync, existsSync, mkdtempSync, rmSync, statSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { findFreePort } from '@/lib/store/engine/freePort'
import { waitUntilReady } from '@/lib/store/engine/waitUntilReady'
import { buildChildEnvironment } from '@/lib/store/environment'
import { atEndOfFile } from './endOfFile'

const bin = '/usr/lib/postgresql/15/bin'

/** Why tests with the system's PostgreSQL 15 are skipped; null if they run. */
export const noSystemPostgres = existsSync(join(bin, 'postgres'))
  ? null
  : `${bin} has no PostgreSQL 15 (Debian: apt-get install postgresql-15)`

/** A throw-away cluster of the system's PostgreSQL 15, in New York's time. Everyone may log in without a password. */
export interface SystemPostgres {
  /** The URL of a database, as the superuser `postgres` or as another user. */
  url(database: string, user?: string): string
  /** Runs a program of this PostgreSQL, such as pg_dump. */
  run(
    program: string,
    args: string[],
    variables?: Record<string, string>,
  ): { code: number | null; stdout: string; stderr: string }
}

/** Starts a cluster for the calling test file; it ends with the file. */
export async function startSystemPostgres(): Promise<SystemPostgres> {
  const folder = mkdtempSync(join(tmpdir(), 'holdfast-system-postgres-'))
  const account = chooseAccount()
  if (account) chownSync(folder, account.uid, account.gid)
  const cluster = join(folder, 'cluster')
  const options = { ...account, cwd: '/', encoding: 'utf8' as const }
  const args = [
    '-D',
    cluster,
    '--username=postgres',
    '--auth=trust',
    '--encoding=UTF8',
    '--locale=C',
    '--no-sync',
  ]
  const made = spawnSync(join(bin, 'initdb'), args, {
    ...options,
    env: buildChildEnvironment({ LC_ALL: 'C' }),
  })
  if (made.status !== 0) throw new Error(`initdb failed: ${made.stderr}`)
  const port = await findFreePort()
  const settings = [
    'listen_addresses=127.0.0.1',
    'unix_socket_directories=',
    'fsync=off',
    'TimeZone=America/New_York',
  ]
  const server = spawn(
    join(bin, 'postgres'),
    ['-D', cluster, '-p', String(port), ...settings.flatMap((one) => ['-c', one])],
    { ...account, cwd: '/', stdio: 'ignore' },
  )
  const ended = new Promise((resolve) => server.once('exit', resolve))
  atEndOfFile(async () => {
    server.kill('SIGINT')
    await ended
    rmSync(folder, { recursive: true, force: true })
  })
  const url = (database: string, user = 'postgres') =>
    `postgresql://${user}@127.0.0.1:${port}/${database}?sslmode=disable`
  const failure = await waitUntilReady(server, `${url('postgres')}&options=-c%20TimeZone%3DUTC`)
  if (failure) throw new Error(`PostgreSQL 15 did not start: ${failure}`)
  return {
    url,
    run(program, given, variables = {}) {
      const env = buildChildEnvironment(variables)
      const ran = spawnSync(join(bin, program), given, { encoding: 'utf8', env, maxBuffer: 2 ** 28 })
      return { code: ran.status, stdout: ran.stdout, stderr: ran.stderr }
    },
  }
}

/** PostgreSQL refuses to run as root, so root runs it as the owner of nothing: the user `postgres`, else `nobody`. */
function chooseAccount(): { uid: number; gid: number } | null {
  if (process.getuid?.() !== 0) return null
  const id = (option: string, user: string) =>
    Number(spawnSync('id', [option, user], { encoding: 'utf8' }).stdout)
  const user = statSync('/var/lib/postgresql', { throwIfNoEntry: false }) ? 'postgres' : 'nobody'
  return { uid: id('-u', user), gid: id('-g', user) }
}
