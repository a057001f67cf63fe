import { randomBytes } from 'node:crypto'
import { linkSync, mkdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { getEnvironment } from './environment'

/**
 * The secret that sessions and codes are signed with: the one given, else the one kept in a file of the data folder
 * that only its owner may read, made now if there is none. Servers that start at once end up with the same.
 */
export function ensureSignInSecret(given: string | undefined, dataDir: string): string {
  if (given) return given
  const path = join(dataDir, 'secret')
  return readSecret(path) ?? createSecret(path, dataDir)
}

function readSecret(path: string): string | null {
  try {
    return readFileSync(path, 'utf8').trim()
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'ENOENT') return null
    throw error
  }
}

function createSecret(path: string, dataDir: string): string {
  mkdirSync(dataDir, { recursive: true, mode: 0o700 })
  const beside = `${path}.${process.pid}.${randomBytes(4).toString('hex')}`
  writeFileSync(beside, `${randomBytes(32).toString('base64url')}\n`, { mode: 0o600, flag: 'wx' })
  try {
    // A link appears whole or not at all, and not where another has put one already.
    linkSync(beside, path)
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code !== 'EEXIST') throw error
  } finally {
    rmSync(beside)
  }
  return readSecret(path) as string
}

/** The secret of this process, as `ensureSignInSecret` has it. */
export function getSignInSecret(): string {
  const { secret, dataDir } = getEnvironment()
  return ensureSignInSecret(secret, dataDir)
}

/** The site's own address, for links; our web server sets it to where it listens unless it is given. */
export function getSiteUrl(): string {
  const { url, port } = getEnvironment()
  return url ?? `http://localhost:${port}`
}
