import { createHash } from 'node:crypto'
import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'

/** A migration of `prisma/migrations`. */
export interface Migration {
  /** The name of its folder; migrations run in the order of their names. */
  name: string
  sql: string
  /** SHA-256 of the file in hexadecimal, as Prisma stores it. */
  checksum: string
}

/** The migrations of a folder in order; each is a folder with a file `migration.sql`. */
export function readMigrations(folder: string): Migration[] {
  const names = readdirSync(folder, { withFileTypes: true })
    .filter((entry) => entry.isDirectory())
    .map((entry) => entry.name)
  return names.sort().map((name) => {
    const sql = readFileSync(join(folder, name, 'migration.sql'), 'utf8')
    return { name, sql, checksum: computeChecksum(sql) }
  })
}

/** Whether a stored checksum matches this file, whichever line endings git wrote on the machine that applied it. */
export function matchesChecksum({ sql, checksum }: Migration, kept: string): boolean {
  if (kept === checksum) return true
  const unix = sql.replaceAll('\r\n', '\n')
  return kept === computeChecksum(unix) || kept === computeChecksum(unix.replaceAll('\n', '\r\n'))
}

function computeChecksum(text: string): string {
  return createHash('sha256').update(text).digest('hex')
}
