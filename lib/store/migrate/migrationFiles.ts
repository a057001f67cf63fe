import { createHash } from 'node:crypto'
import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'

/** One migration of `prisma/migrations`. */
export interface Migration {
  /** Its folder's name; migrations are applied in the order of their names. */
  name: string
  sql: string
  /** SHA-256 of the file in hexadecimal, as Prisma keeps it. */
  checksum: string
}

/** The migrations of a folder, in their order; each is a folder with a file `migration.sql`. */
export function readMigrations(folder: string): Migration[] {
  const names = readdirSync(folder, { withFileTypes: true })
    .filter((entry) => entry.isDirectory())
    .map((entry) => entry.name)
  return names.sort().map((name) => {
    const sql = readFileSync(join(folder, name, 'migration.sql'), 'utf8')
    return { name, sql, checksum: computeChecksum(sql) }
  })
}

/** Whether a kept checksum is of this file, however git wrote its line ends on the machine that applied it. */
export function matchesChecksum({ sql, checksum }: Migration, kept: string): boolean {
  if (kept === checksum) return true
  const unix = sql.replaceAll('\r\n', '\n')
  return kept === computeChecksum(unix) || kept === computeChecksum(unix.replaceAll('\n', '\r\n'))
}

function computeChecksum(text: string): string {
  return createHash('sha256').update(text).digest('hex')
}
