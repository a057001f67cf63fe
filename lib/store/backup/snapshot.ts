import { createHash } from 'node:crypto'
import { readFileSync } from 'node:fs'
import pg from 'pg'
import { z } from 'zod'
import { getDatabaseName, hasTable } from '../migrate/databases'
import { lockMigrations } from '../migrate/migrate'
import { setScope } from '../scope/scope'
import { statement } from '../scope/statement'
import {
  BackupError,
  type BackupPart,
  END_NAME,
  type Ending,
  FORMAT_VERSION,
  MANIFEST_NAME,
  type Manifest,
  nameChunk,
} from './backupFormat'
import { COPY_SETTINGS, copyOut, RowSum } from './copyRows'
import { withOwnerConnection } from './ownerConnection'
import { listAppliedMigrations, listSequences, listTables, type Table } from './tables'

const program = z.object({ version: z.string() })

/**
 * Passes a database to `use` as the parts of a backup, all of one instant, while others go on writing. Works as the owner,
 * at whichever migration the database is. `now` in ms UTC.
 * @throws BackupError if the database holds no programme, or a migration was left half done.
 */
export async function withSnapshot<T>(
  url: string,
  now: number,
  use: (parts: AsyncGenerator<BackupPart>) => Promise<T>,
): Promise<T> {
  return withOwnerConnection(url, async (client) => {
    const name = getDatabaseName(url)
    if (!(await hasTable(client, 'public._prisma_migrations')))
      throw new BackupError(`The database ${name} holds no programme, so there is nothing to back up.`)
    const tables = await beginSnapshot(url, client)
    return use(readParts(client, tables, name, now))
  })
}

/** A migration that rewrites a table after the snapshot was taken would make it look empty, so the tables are locked. */
async function beginSnapshot(url: string, client: pg.PoolClient): Promise<Table[]> {
  return withOwnerConnection(url, async (holder) => {
    await lockMigrations(holder, 'shared')
    await client.query(`begin transaction isolation level repeatable read read only; ${COPY_SETTINGS}`)
    await setScope(client, 'all')
    const tables = await listTables(client)
    const names = tables.map(({ name }) => `public.${pg.escapeIdentifier(name)}`)
    await client.query(`lock table ${names.join(', ')} in access share mode`)
    return tables
  })
}

async function* readParts(
  client: pg.PoolClient,
  tables: Table[],
  database: string,
  now: number,
): AsyncGenerator<BackupPart> {
  const first = Buffer.from(JSON.stringify(await describe(client, tables, database, now), null, 1))
  yield { name: MANIFEST_NAME, body: first }
  const end: Ending = { manifest: createHash('sha256').update(first).digest('hex'), tables: [] }
  for (const table of tables) {
    const sum = new RowSum()
    let number = 0
    for await (const body of copyOut(client, table)) {
      sum.add(body)
      yield { name: nameChunk(table.name, ++number), body }
    }
    end.tables.push({ name: table.name, ...sum.finish() })
  }
  yield { name: END_NAME, body: Buffer.from(JSON.stringify(end, null, 1)) }
}

const SERVER = statement(
  z.object({ version: z.string() }),
  "select current_setting('server_version') as version",
)

const value = z.object({ value: z.string(), isCalled: z.boolean() })

async function describe(
  client: pg.PoolClient,
  tables: Table[],
  database: string,
  now: number,
): Promise<Manifest> {
  const migrations = await listAppliedMigrations(client)
  const half = migrations.find(({ isFinished }) => !isFinished)
  if (half)
    throw new BackupError(
      `The migration ${half.name} was left half done by another tool, so a backup could not be restored. Start Holdfast and follow what it says, then make the backup.`,
    )
  const sequences: Manifest['sequences'] = []
  for (const name of await listSequences(client)) {
    const { rows } = await client.query(
      `select last_value::text as value, is_called as "isCalled" from public.${pg.escapeIdentifier(name)}`,
    )
    sequences.push({ name, ...value.parse(rows[0]) })
  }
  return {
    holdfastBackup: FORMAT_VERSION,
    program: program.parse(JSON.parse(readFileSync('package.json', 'utf8'))).version,
    madeAt: new Date(now).toISOString(),
    server: (await SERVER.one(client)).version,
    database,
    migrations: migrations.map(({ name, checksum }) => ({ name, checksum })),
    tables: tables.map(({ name, columns }) => ({ name, columns })),
    sequences,
  }
}
