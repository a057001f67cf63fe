import { randomUUID } from 'node:crypto'
import type pg from 'pg'
import { z } from 'zod'
import { appRole, authRole, openOwnerPool } from '../scope/pool'
import { command, statement } from '../scope/statement'
import { type Migration, matchesChecksum, readMigrations } from './migrationFiles'
import { ensureRole } from './programRole'
import { installQueue } from './queueSchema'

/** The database cannot be brought to this version of the program. The message says why and what to do. */
export class MigrationError extends Error {
  override name = 'MigrationError'
}

export interface MigrateOptions {
  /** The owner's connection URL. */
  url: string
  /** Default: `prisma/migrations`. */
  folder?: string
  /** Receives a sentence for each step as it is done. */
  log?: (sentence: string) => void
}

const oldestServer = 150_000

/** The advisory lock that Prisma's own tool takes while it migrates, so that the two exclude each other. */
const lockNumber = 72_707_369

/** Prisma's own table, column for column, so that its tools find what they expect. */
export const MIGRATION_TABLE = `
  create table if not exists _prisma_migrations (
    id varchar(36) primary key not null,
    checksum varchar(64) not null,
    finished_at timestamptz,
    migration_name varchar(255) not null,
    logs text,
    rolled_back_at timestamptz,
    started_at timestamptz not null default now(),
    applied_steps_count integer not null default 0
  )`

const LOCK = command('select pg_advisory_lock($1)')
const LOCK_SHARED = command('select pg_advisory_lock_shared($1)')

/** Keeps others from migrating until the connection closes; waits for one who does. Several may hold it `shared`. */
export async function lockMigrations(client: pg.ClientBase, how: 'alone' | 'shared'): Promise<void> {
  await (how === 'alone' ? LOCK : LOCK_SHARED).run(client, [lockNumber])
}

/**
 * Applies pending migrations in order. Each runs in one transaction with the row that records it, so an interrupted run
 * leaves whole migrations and the next run continues. Concurrent runs wait for each other. Creates the program's roles
 * first, if the server lacks them, and the queue last.
 * @returns the names of the migrations applied now.
 * @throws MigrationError if an applied migration was changed since, if the database is newer than the program, if
 * another tool left one half done, or if one fails.
 */
export async function migrate({
  url,
  folder = 'prisma/migrations',
  log: say = () => {},
}: MigrateOptions): Promise<string[]> {
  const migrations = readMigrations(folder)
  const pool = openOwnerPool(url, { max: 1 })
  const client = await pool.connect().catch(async (error) => {
    await pool.end()
    throw error
  })
  try {
    await checkServer(client)
    await lockMigrations(client, 'alone')
    await ensureRoles(client, say)
    // PostgreSQL cannot prepare CREATE TABLE.
    await client.query(MIGRATION_TABLE)
    const missing = findPending(migrations, await APPLIED.all(client))
    for (const migration of missing) {
      say(`Applying ${migration.name}.`)
      await applyMigration(client, migration)
    }
    if (await installQueue(client)) say('Created the mail queue.')
    return missing.map(({ name }) => name)
  } finally {
    client.release(true)
    await pool.end()
  }
}

/** Creates those of the program's roles that the server lacks. */
export async function ensureRoles(client: pg.ClientBase, say: (sentence: string) => void): Promise<void> {
  for (const role of [appRole, authRole]) if (await ensureRole(client, role)) say(`Created the role ${role}.`)
}

const SERVER = statement(
  z.object({ number: z.number(), version: z.string() }),
  `select current_setting('server_version_num')::int as number, current_setting('server_version') as version`,
)

/** @throws MigrationError if the server is too old. */
export async function checkServer(client: pg.ClientBase) {
  const { number, version } = await SERVER.one(client)
  if (number < oldestServer) {
    throw new MigrationError(`PostgreSQL ${version} is too old. Holdfast needs PostgreSQL 15 or later.`)
  }
}

const applied = z.object({ name: z.string(), checksum: z.string(), isFinished: z.boolean() })

const APPLIED = statement(
  applied,
  `select migration_name as name, checksum, finished_at is not null as "isFinished"
   from _prisma_migrations where rolled_back_at is null order by started_at`,
)

function findPending(migrations: Migration[], earlier: z.infer<typeof applied>[]): Migration[] {
  const known = new Map(migrations.map((migration) => [migration.name, migration]))
  for (const { name, checksum, isFinished } of earlier) {
    const migration = known.get(name)
    if (!migration) {
      throw new MigrationError(
        `The database is newer than this program: it has the migration ${name}, which this version does not know. Start a version that does.`,
      )
    }
    if (!isFinished) {
      throw new MigrationError(
        `The migration ${name} was left half done by another tool. Repair the database by hand (or from a backup), then mark the row of ${name} in _prisma_migrations as rolled back or finished.`,
      )
    }
    if (!matchesChecksum(migration, checksum)) {
      throw new MigrationError(
        `The migration ${name} was changed after it had been applied. Restore prisma/migrations/${name}/migration.sql, and make the change in a new migration.`,
      )
    }
  }
  const done = new Set(earlier.map(({ name }) => name))
  return migrations.filter(({ name }) => !done.has(name))
}

const RECORD_APPLIED = command(
  `insert into _prisma_migrations (id, checksum, migration_name, started_at, finished_at, applied_steps_count)
   values ($1, $2, $3, now(), clock_timestamp(), 1)`,
)

async function applyMigration(client: pg.PoolClient, { name, sql, checksum }: Migration) {
  await client.query('begin')
  try {
    await client.query(sql)
    await RECORD_APPLIED.run(client, [randomUUID(), checksum, name])
    await client.query('commit')
  } catch (error) {
    await client.query('rollback').catch(() => {})
    const { message, position } = error as pg.DatabaseError
    const line = position ? ` (line ${sql.slice(0, Number(position)).split('\n').length})` : ''
    throw new MigrationError(
      `The migration ${name} failed${line} and was rolled back: ${message}. Earlier migrations stay applied; the next start retries it.`,
    )
  }
}
