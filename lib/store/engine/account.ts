import { spawnSync } from 'node:child_process'
import { existsSync, readFileSync, statSync } from 'node:fs'
import { dirname, resolve } from 'node:path'
import { EngineError } from './engineError'

/** Who the engine runs as. Without `uid` it is whoever started Holdfast. `capability` is a right kept beside that user's own. */
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
 * PostgreSQL refuses to run as root, so root hands it to the owner of the cluster if there is one, else to `postgres`, else to
 * `nobody`. That user may be unable to enter the clone (a folder made by `mktemp -d` lets only its owner in), and PostgreSQL
 * resolves its paths from the top, so a folder handed over open does not help. Then it keeps one capability: to pass folders that
 * are closed to it, or where the system does not grant that alone, to override permissions.
 * @throws EngineError where no account can run it.
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
    `PostgreSQL refuses to run as root, and user ${user.uid} can not enter ${dataDir} or run ${postgres}. Start Holdfast as an ordinary user, move it to a folder that every user may enter, or set DATABASE_URL.`,
  )
}

/** The command that runs `program` as `account`; the process keeps its id through it. */
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
    // Without this, access(2), by which initdb looks for its programs, judges as if the capability were not there.
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

/** Whether a user may pass through every folder down to this one. */
function canEnter(folder: string, user: Account): boolean {
  for (let at = resolve(folder); ; at = dirname(at)) {
    const { mode, uid, gid } = statSync(at)
    const bit = uid === user.uid ? 0o100 : gid === user.gid ? 0o010 : 0o001
    if ((mode & bit) === 0) return false
    if (at === dirname(at)) return true
  }
}

/** Tries it: that settles folders, execute bits and what the system grants, all at once. */
function canRun(postgres: string, account: Account): boolean {
  const { program, args, options } = buildCommand(account, postgres, ['--version'])
  return spawnSync(program, args, { ...options, cwd: '/', stdio: 'ignore' }).status === 0
}
