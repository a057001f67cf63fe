import { spawn } from 'node:child_process'
import { randomBytes } from 'node:crypto'
import {
  chownSync,
  existsSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  writeFileSync,
} from 'node:fs'
import { endianness } from 'node:os'
import { join } from 'node:path'
import { buildChildEnvironment } from '../environment'
import { type Account, buildCommand } from './account'
import type { Binaries } from './binaries'
import { EngineError, EngineVersionError } from './engineError'

/** The user that owns everything in an embedded cluster. */
export const clusterUser = 'holdfast'

const passwordFile = 'password'

/** The cluster's folder below the data folder. Its password lies beside it, so that one rename brings both. */
export function getClusterFolder(dataDir: string): string {
  return join(dataDir, 'engine', 'cluster')
}

/** The password of `clusterUser`: 48 random hexadecimal digits, readable only by the user who runs Holdfast. */
export function readClusterPassword(dataDir: string): string {
  return readFileSync(join(dataDir, 'engine', passwordFile), 'utf8').trim()
}

/** PostgreSQL's system identifier of a cluster, which every major version has in this place. */
export function readSystemIdentifier(dataDir: string): string {
  const control = readFileSync(join(getClusterFolder(dataDir), 'global', 'pg_control'))
  return String(endianness() === 'LE' ? control.readBigUInt64LE() : control.readBigUInt64BE())
}

/**
 * Creates the cluster unless it exists: in a second folder that is renamed once complete, so an interrupted start
 * leaves nothing that looks finished. Removes what earlier interrupted starts left. The caller holds the lock of the
 * data folder.
 * @returns whether it was created now.
 * @throws EngineError with initdb's output; EngineVersionError if another major version of PostgreSQL created the cluster.
 */
export async function ensureCluster(dataDir: string, binaries: Binaries, account: Account): Promise<boolean> {
  for (const name of readdirSync(dataDir)) {
    // The initdb of a launcher that was killed may still write there.
    if (name.startsWith('engine.new'))
      rmSync(join(dataDir, name), { recursive: true, force: true, maxRetries: 20, retryDelay: 100 })
  }
  if (existsSync(join(dataDir, 'engine'))) {
    checkVersion(dataDir, binaries)
    return false
  }
  const beside = join(dataDir, `engine.new-${randomBytes(4).toString('hex')}`)
  const cluster = join(beside, 'cluster')
  mkdirSync(cluster, { recursive: true })
  const password = `${randomBytes(24).toString('hex')}\n`
  writeFileSync(join(beside, passwordFile), password, { mode: 0o600, flush: true })
  const passwordForInit = join(beside, 'password-for-init')
  writeFileSync(passwordForInit, password, { mode: 0o600 })
  if (account.uid !== undefined) {
    for (const path of [cluster, passwordForInit]) chownSync(path, account.uid, account.gid ?? account.uid)
  }
  await runInitdb(binaries, account, cluster, passwordForInit)
  rmSync(passwordForInit)
  renameSync(beside, join(dataDir, 'engine'))
  return true
}

/** UTC, UTF-8, and a collation independent of the machine's locale. */
function runInitdb(
  binaries: Binaries,
  account: Account,
  cluster: string,
  passwordForInit: string,
): Promise<void> {
  const { program, args, options } = buildCommand(account, binaries.initdb, [
    `--pgdata=${cluster}`,
    `--username=${clusterUser}`,
    `--pwfile=${passwordForInit}`,
    '--auth=scram-sha-256',
    '--encoding=UTF8',
    '--locale=C',
    '--locale-provider=builtin',
    '--builtin-locale=C.UTF-8',
    '--set=timezone=UTC',
    '--set=log_timezone=UTC',
    '--no-instructions',
  ])
  return new Promise((resolve, reject) => {
    const env = buildChildEnvironment({ LC_ALL: 'C', TZ: 'UTC' })
    const child = spawn(program, args, { ...options, cwd: '/', env, stdio: ['ignore', 'pipe', 'pipe'] })
    const endWithUs = () => child.kill('SIGTERM')
    process.once('exit', endWithUs)
    let output = ''
    child.stdout.on('data', (text: Buffer) => {
      output += text
    })
    child.stderr.on('data', (text: Buffer) => {
      output += text
    })
    child.once('error', (error) => reject(new EngineError(`initdb cannot be run: ${error.message}.`)))
    child.once('close', (code) => {
      process.removeListener('exit', endWithUs)
      if (code === 0) resolve()
      else
        reject(new EngineError(`initdb could not create a cluster in ${cluster}. Output:\n${output.trim()}`))
    })
  })
}

function checkVersion(dataDir: string, binaries: Binaries) {
  const has = readFileSync(join(getClusterFolder(dataDir), 'PG_VERSION'), 'utf8').trim()
  const sample = readFileSync(join(binaries.root, 'share', 'postgresql', 'postgres.bki'), 'utf8').slice(0, 40)
  const wants = /PostgreSQL (\d+)/.exec(sample)?.[1]
  if (wants && wants !== has) throw new EngineVersionError(dataDir, has, wants)
}
