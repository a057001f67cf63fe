import { setTimeout as wait } from 'node:timers/promises'
import pg from 'pg'
import { z } from 'zod'
import { getDatabaseName, hasTable } from '../migrate/databases'
import { QUEUE_SCHEMA } from '../migrate/queueSchema'
import { statement } from '../scope/statement'
import { BackupError } from './backupFormat'
import { listTables } from './tables'

/** Tables that a start fills although nobody has entered anything; `mark` is an earlier name of `app_metadata`. */
const FILLED_BY_START = ['_prisma_migrations', 'app_metadata', 'mark', 'at_once_look']

const OTHERS = statement(
  z.object({ count: z.number() }),
  `select count(*)::int as count from pg_stat_activity
   where datname = current_database() and pid <> pg_backend_pid() and usename is not null`,
)

// What an extension brought does not count.
const RELATIONS = statement(
  z.object({ name: z.string() }),
  `select nspname || '.' || relname as name from pg_class join pg_namespace on pg_namespace.oid = relnamespace
   where nspname !~ '^pg_' and nspname <> 'information_schema' and not exists (
     select from pg_depend where classid = 'pg_class'::regclass and objid = pg_class.oid and deptype = 'e')
   order by 1 limit 1`,
)

const FUNCTIONS = statement(
  z.object({ signature: z.string() }),
  `select oid::regprocedure::text as signature from pg_proc
   where pronamespace = 'public'::regnamespace and not exists (
     select from pg_depend where classid = 'pg_proc'::regclass and objid = pg_proc.oid and deptype = 'e')
   order by 1`,
)

/** How often, and how long, to look again for others: a connection that closes is gone only a moment later. */
const LOOKS = 20
const LOOK_MS = 100

/**
 * Makes sure that nobody else is connected to the database of `client`, which is in no transaction.
 * @throws BackupError if someone is.
 */
export async function assertAlone(client: pg.ClientBase, url: string): Promise<void> {
  for (let look = 1; ; look++) {
    const { count } = await OTHERS.one(client)
    if (count === 0) return
    if (look === LOOKS)
      throw new BackupError(
        `The database ${getDatabaseName(url)} has ${count} other connections. Stop the Holdfast that serves it (and whatever else is connected), then try again.`,
      )
    await wait(LOOK_MS)
  }
}

/**
 * Makes sure, in the transaction of `client`, that its database has no tables. Those of a programme in which nobody has
 * entered anything, as a first start or `npm run db:reset` leaves it, are dropped.
 * @throws BackupError if it holds anything else.
 */
export async function emptyDatabase(client: pg.ClientBase, url: string): Promise<void> {
  const name = getDatabaseName(url)
  const full = (what: string) =>
    new BackupError(
      `The database ${name} is not empty: ${what}. Restore into another database (name it in DATABASE_URL), or empty this one with npm run db:reset -- --yes.`,
    )
  if (await hasTable(client, 'public._prisma_migrations')) {
    const tables = await listTables(client)
    for (const table of tables)
      if (!FILLED_BY_START.includes(table.name) && (await hasRows(client, table.name)))
        throw full(`its table ${table.name} has rows`)
    const names = tables.map((table) => `public.${pg.escapeIdentifier(table.name)}`)
    await client.query(`drop table ${names.join(', ')}; drop schema if exists ${QUEUE_SCHEMA} cascade`)
    for (const { signature } of await FUNCTIONS.all(client)) await client.query(`drop function ${signature}`)
  }
  const left = await RELATIONS.first(client)
  if (left) throw full(`it has ${left.name}`)
}

const found = z.object({ hasRows: z.boolean() })

async function hasRows(client: pg.ClientBase, table: string): Promise<boolean> {
  const { rows } = await client.query(
    `select exists (select from public.${pg.escapeIdentifier(table)}) as "hasRows"`,
  )
  return found.parse(rows[0]).hasRows
}
