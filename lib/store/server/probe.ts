import type pg from 'pg'
import { z } from 'zod'
import { type Migration, matchesChecksum } from '../migrate/migrationFiles'
import { command, statement } from '../scope/statement'
import { type DatabaseFault, findDatabaseFault } from '../scope/unavailable'

/** What a probe found: why the database cannot serve (null if it can), and whether its migrations are the program's. */
export interface ProbeResult {
  fault: DatabaseFault | null
  /** Null if it could not be read. */
  hasOurMigrations: boolean | null
}

const MIGRATIONS = statement(
  z.object({ name: z.string(), checksum: z.string() }),
  `select migration_name as name, checksum from _prisma_migrations
   where finished_at is not null and rolled_back_at is null`,
)
const TRY_WRITE = command('select holdfast_try_write()')

/**
 * Asks a database, as `holdfast_door`, whether it answers, has the migrations of `files`, and takes a write that is
 * committed. Never throws: an error that says nothing else counts as unreachable.
 */
export async function probeDatabase(pool: pg.Pool, files: readonly Migration[]): Promise<ProbeResult> {
  let hasOurMigrations: boolean | null = null
  try {
    hasOurMigrations = await compareMigrations(pool, files)
    if (hasOurMigrations) await tryWrite(pool)
    return { fault: null, hasOurMigrations }
  } catch (error) {
    return { fault: findDatabaseFault(error) ?? 'unreachable', hasOurMigrations }
  }
}

/** Where nobody may make temporary tables, a write cannot be tried, and none is claimed to fail. */
async function tryWrite(pool: pg.Pool): Promise<void> {
  await TRY_WRITE.run(pool).catch((error: { code?: string }) => {
    if (error.code !== INSUFFICIENT_PRIVILEGE) throw error
  })
}

const INSUFFICIENT_PRIVILEGE = '42501'
/** SQLSTATEs of a database without our function or our role: made by an older program, or by none. */
const FOREIGN = ['42883', INSUFFICIENT_PRIVILEGE, '42P01', '22023']

async function compareMigrations(pool: pg.Pool, files: readonly Migration[]): Promise<boolean> {
  try {
    const applied = await MIGRATIONS.all(pool)
    const checksums = new Map(applied.map(({ name, checksum }) => [name, checksum]))
    return (
      applied.length === files.length &&
      files.every((file) => matchesChecksum(file, checksums.get(file.name) ?? ''))
    )
  } catch (error) {
    if (FOREIGN.includes((error as { code?: string }).code ?? '')) return false
    throw error
  }
}
