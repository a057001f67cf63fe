import { randomBytes } from 'node:crypto'
import { linkSync, mkdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { getEnvironment } from './environment'

/**
 * The secret that signs sessions and codes: the given one, else one kept in a file of the data folder that only its
 * owner may read, created if missing. Servers that start at the same time get the same one.
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
    // The link is created atomically, and fails if another server created it first.
    linkSync(beside, path)
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code !== 'EEXIST') throw error
  } finally {
    rmSync(beside)
  }
  return readSecret(path) as string
}

/** The secret of this process. */
export function getSignInSecret(): string {
  const { secret, dataDir } = getEnvironment()
  return ensureSignInSecret(secret, dataDir)
}

/** The site's own URL, for links. Our web server sets it to where it listens unless it is configured. */
export function getSiteUrl(): string {
  const { url, port } = getEnvironment()
  return url ?? `http://localhost:${port}`
}

/** The bearer token that lets a program read the metrics; undefined if there is none. */
export function getMetricsToken(): string | undefined {
  return getEnvironment().metricsToken
}
