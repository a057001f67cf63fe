import pg from 'pg'
import { z } from 'zod'
import { ensureDatabase, getDatabaseName, hasTable } from '../migrate/databases'
import { checkServer, ensureRoles, lockMigrations, MIGRATION_TABLE, migrate } from '../migrate/migrate'
import { type Migration, matchesChecksum, readMigrations } from '../migrate/migrationFiles'
import { setScope } from '../scope/scope'
import { command, statement } from '../scope/statement'
import { BackupError, type BackupPart, type Ending, type Manifest } from './backupFormat'
import { type CheckedBackup, checkParts, compare } from './checkParts'
import { COPY_SETTINGS, copyIn, copyOut, RowSum } from './copyRows'
import { assertAlone, emptyDatabase } from './emptyDatabase'
import { withOwnerConnection } from './ownerConnection'
import { listSequences, listTables, type Table } from './tables'

export interface RestoreOptions {
  /** The owner's URL of the database, which is created if missing. */
  url: string
  parts: AsyncGenerator<BackupPart>
  /** Default: `prisma/migrations`. */
  folder?: string
  /** Receives a sentence for each step as it is done. */
  log?: (sentence: string) => void
}

export interface Restored {
  manifest: Manifest
  tables: number
  rows: number
  /** Migrations applied after the backup's own. */
  migrated: string[]
}

/**
 * Restores a backup into an empty database and migrates it to this version of the program. Everything up to the backup's
 * own migration is one transaction: it is committed once every table has been read back and is equal to the backup, so an
 * interrupted restore leaves the database as it was. What the machine of the backup did is forgotten after that.
 * @throws BackupError if the database is not empty, or the backup is damaged or newer than the program.
 */
export async function restoreBackup({
  url,
  parts,
  folder = 'prisma/migrations',
  log: say = () => {},
}: RestoreOptions): Promise<Restored> {
  const backup = await checkParts(parts)
  const migrations = chooseMigrations(backup.manifest, readMigrations(folder))
  if (await ensureDatabase(url)) say(`Created the database ${getDatabaseName(url)}.`)
  const end = await withOwnerConnection(url, async (client) => {
    await checkServer(client)
    await assertUtf8(client, url)
    await lockMigrations(client, 'alone')
    await ensureRoles(client, say)
    await assertAlone(client, url)
    await client.query(`begin; ${COPY_SETTINGS}`)
    await setScope(client, 'all')
    await emptyDatabase(client, url)
    await client.query(MIGRATION_TABLE)
    for (const { sql } of migrations) await client.query(sql)
    const restored = await fill(client, backup, say)
    if (await hasTable(client, 'public.app_metadata')) await FORGET.run(client)
    await client.query('commit')
    return restored
  })
  const migrated = await migrate({ url, folder, log: say })
  await analyze(url)
  const rows = end.tables.reduce((sum, table) => sum + table.rows, 0)
  return { manifest: backup.manifest, tables: end.tables.length, rows, migrated }
}

/** What the machine of the backup did and this one did not: its backups, whose files are there, and its last sign-in mail. */
const FORGET = command("delete from app_metadata where name in ('backup', 'sign-in mail failed')")

/** The files of the backup's migrations. */
function chooseMigrations({ migrations, program }: Manifest, files: Migration[]): Migration[] {
  return migrations.map(({ name, checksum }) => {
    const file = files.find((one) => one.name === name)
    if (!file)
      throw new BackupError(
        `The backup is newer than this program: it has the migration ${name}, which this version does not know. Restore it with Holdfast ${program} or a later version.`,
      )
    if (!matchesChecksum(file, checksum))
      throw new BackupError(
        `The migration ${name} of the backup is not the one of this program. Restore it with the Holdfast that made it (${program}).`,
      )
    return file
  })
}

const ENCODING = statement(
  z.object({ encoding: z.string() }),
  "select current_setting('server_encoding') as encoding",
)

async function assertUtf8(client: pg.ClientBase, url: string): Promise<void> {
  const { encoding } = await ENCODING.one(client)
  if (encoding === 'UTF8') return
  const name = getDatabaseName(url)
  throw new BackupError(
    `The database ${name} has the encoding ${encoding}, which cannot hold every name. Make it anew: CREATE DATABASE ${pg.escapeIdentifier(name)} TEMPLATE template0 ENCODING 'UTF8';`,
  )
}

/** Row-level security holds for the owner too, and COPY cannot write through it, so it is lifted until the commit. */
async function fill(
  client: pg.PoolClient,
  backup: CheckedBackup,
  say: (sentence: string) => void,
): Promise<Ending> {
  const tables = await listTables(client)
  const forced = tables.filter(({ isForced }) => isForced)
  for (const table of forced) await alter(client, table, 'no force row level security')
  const end = await copyAll(client, backup, tables, say)
  const sequences = await listSequences(client)
  for (const { name, value, isCalled } of backup.manifest.sequences)
    if (sequences.includes(name)) await SET_SEQUENCE.one(client, [pg.escapeIdentifier(name), value, isCalled])
  say('Every row is in. Reading them back to compare.')
  const wanted = end.tables.filter(({ name }) => tables.some((table) => table.name === name))
  compare({ ...end, tables: wanted }, { ...end, tables: await sumUp(client, wanted, tables) })
  for (const table of forced) await alter(client, table, 'force row level security')
  return end
}

async function alter(client: pg.ClientBase, { name }: Table, change: string): Promise<void> {
  await client.query(`alter table public.${pg.escapeIdentifier(name)} ${change}`)
}

const SET_SEQUENCE = statement(
  z.object({ value: z.string() }),
  `select setval(('public.' || $1::text)::regclass, $2::bigint, $3::boolean)::text as value`,
)

async function copyAll(
  client: pg.PoolClient,
  { manifest, chunks }: CheckedBackup,
  tables: Table[],
  say: (sentence: string) => void,
): Promise<Ending> {
  let next = await chunks.next()
  async function* take(name: string) {
    while (!next.done && next.value.table === name) {
      yield next.value.body
      next = await chunks.next()
    }
  }
  for (const { name, columns } of manifest.tables) {
    const known = tables.find((table) => table.name === name)
    if (known) assertColumns(name, columns, known)
    if (next.done || next.value.table !== name) continue
    if (!known) {
      say(`Leaving out the table ${name}: it was added by hand, and no migration of Holdfast makes it.`)
      for await (const _ of take(name));
      continue
    }
    say(`Restoring ${name}.`)
    await copyIn(client, { name, columns }, take(name))
  }
  if (!next.done)
    throw new BackupError('The backup is damaged: it has rows of a table that it does not list.')
  return next.value
}

function assertColumns(name: string, columns: string[], table: Table): void {
  if (JSON.stringify(table.columns) === JSON.stringify(columns)) return
  throw new BackupError(
    `The backup has the table ${name} with the columns ${columns.join(', ')}, but the migrations of Holdfast make it with ${table.columns.join(', ')}: it was changed by hand. Undo that change in the database, make the backup again, then restore it.`,
  )
}

async function sumUp(
  client: pg.PoolClient,
  listed: Ending['tables'],
  tables: Table[],
): Promise<Ending['tables']> {
  const sums: Ending['tables'] = []
  for (const { name } of listed) {
    const sum = new RowSum()
    const table = tables.find((one) => one.name === name) as Table
    for await (const body of copyOut(client, table)) sum.add(body)
    sums.push({ name, ...sum.finish() })
  }
  return sums
}

/** Without statistics, PostgreSQL would plan the first queries badly. */
async function analyze(url: string): Promise<void> {
  await withOwnerConnection(url, async (client) => {
    for (const { name } of await listTables(client))
      await client.query(`analyze public.${pg.escapeIdentifier(name)}`)
  })
}
