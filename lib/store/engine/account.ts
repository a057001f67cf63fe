import { spawnSync } from 'node:child_process'
import { existsSync, readFileSync, statSync } from 'node:fs'
import { dirname, resolve } from 'node:path'
import { EngineError } from './engineError'

/**
 * The user the engine runs as; without `uid`, the user who started Holdfast. `capability` is an additional Linux
 * capability.
 */
export interface Account {
  uid?: number
  gid?: number
  capability?: string
}

/** A program and its arguments, as `spawn` takes them. */
export interface Command {
  program: string
  args: string[]
  options: { uid?: number; gid?: number }
}

const setpriv = ['/usr/bin/setpriv', '/bin/setpriv'].find((path) => existsSync(path))

/**
 * Chooses the account for a cluster below `dataDir`.
 *
 * PostgreSQL refuses to run as root, so root runs it as the owner of the cluster, else as `postgres`, else as `nobody`.
 * That user may be unable to enter the clone (a folder made by `mktemp -d` admits only its owner), and PostgreSQL
 * resolves its paths from the root, so opening the folder itself does not help. The account then gets one capability:
 * to pass closed folders, or, if the system does not grant that alone, to override permissions.
 * @throws EngineError if no account can run it.
 */
export function chooseAccount(postgres: string, dataDir: string, clusterDir: string): Account {
  if (process.getuid?.() !== 0) return {}
  const user = findClusterOwner(clusterDir) ??
    findSystemUser('postgres') ??
    findSystemUser('nobody') ?? { uid: 65534, gid: 65534 }
  if (canEnter(dataDir, user) && canRun(postgres, user)) return user
  for (const capability of setpriv ? ['dac_read_search', 'dac_override'] : []) {
    const account = { ...user, capability }
    if (canRun(postgres, account)) return account
  }
  throw new EngineError(
    `PostgreSQL refuses to run as root, and user ${user.uid} cannot enter ${dataDir} or run ${postgres}. Start Holdfast as an ordinary user, move it to a folder that every user may enter, or set DATABASE_URL.`,
  )
}

/** The command that runs `program` as `account`, keeping its process id. */
export function buildCommand(account: Account, program: string, args: string[]): Command {
  const { uid, gid, capability } = account
  if (!capability || !setpriv) return { program, args, options: { uid, gid } }
  const keep = `+${capability}`
  const rights = [
    `--reuid=${uid}`,
    `--regid=${gid}`,
    '--clear-groups',
    `--inh-caps=${keep}`,
    `--ambient-caps=${keep}`,
    // Without this, access(2), which initdb uses to find its programs, ignores the capability.
    '--securebits=+no_setuid_fixup',
  ]
  return { program: setpriv, args: [...rights, '--', program, ...args], options: {} }
}

function findClusterOwner(clusterDir: string): Account | undefined {
  const found = statSync(clusterDir, { throwIfNoEntry: false })
  return found && found.uid !== 0 ? { uid: found.uid, gid: found.gid } : undefined
}

function findSystemUser(name: string): Account | undefined {
  const users = existsSync('/etc/passwd') ? readFileSync('/etc/passwd', 'utf8') : ''
  const fields = users
    .split('\n')
    .find((line) => line.startsWith(`${name}:`))
    ?.split(':')
  return fields ? { uid: Number(fields[2]), gid: Number(fields[3]) } : undefined
}

/** Whether a user may pass through every folder on the way to this one. */
function canEnter(folder: string, user: Account): boolean {
  for (let at = resolve(folder); ; at = dirname(at)) {
    const { mode, uid, gid } = statSync(at)
    const bit = uid === user.uid ? 0o100 : gid === user.gid ? 0o010 : 0o001
    if ((mode & bit) === 0) return false
    if (at === dirname(at)) return true
  }
}

/** A trial run covers folders, execute bits and the system's grants at once. */
function canRun(postgres: string, account: Account): boolean {
  const { program, args, options } = buildCommand(account, postgres, ['--version'])
  return spawnSync(program, args, { ...options, cwd: '/', stdio: 'ignore' }).status === 0
}
