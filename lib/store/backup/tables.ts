import type pg from 'pg'
import { z } from 'zod'
import { statement } from '../scope/statement'

/** A table of the programme, and how its rows are read. */
export interface Table {
  name: string
  columns: string[]
  /** SQL of the columns of its key, so that equal rows are read in the same order everywhere. */
  order: string[]
  /** Whether row-level security also holds for the owner. */
  isForced: boolean
}

// What belongs to an extension comes with the extension.
const OURS = `relnamespace = 'public'::regnamespace and not relispartition and not exists (
  select from pg_depend where classid = 'pg_class'::regclass and objid = pg_class.oid and deptype = 'e')`

const TABLES = statement(
  z.object({
    name: z.string(),
    columns: z.array(z.string()),
    order: z.array(z.string()),
    isForced: z.boolean(),
    parents: z.array(z.string()),
  }),
  `select relname::text as name, relforcerowsecurity as "isForced",
     array(select attname::text from pg_attribute
       where attrelid = pg_class.oid and attnum > 0 and not attisdropped and attgenerated = '' order by attnum) as columns,
     array(select quote_ident(attname) || case when attcollation <> 0 then ' collate "C"' else '' end
       from pg_index cross join unnest(indkey) with ordinality as key (number, place)
         join pg_attribute on attrelid = indrelid and attnum = number
       where indrelid = pg_class.oid and indisprimary order by place) as order,
     array(select parent.relname::text from pg_constraint join pg_class parent on parent.oid = confrelid
       where conrelid = pg_class.oid and contype = 'f' and confrelid <> conrelid) as parents
   from pg_class where relkind in ('r', 'p') and ${OURS} order by relname collate "C"`,
)

/** The tables of the schema public, each after those that its foreign keys refer to. */
export async function listTables(client: pg.ClientBase): Promise<Table[]> {
  const waiting = await TABLES.all(client)
  const done: Table[] = []
  const isDone = (name: string) => done.some((table) => table.name === name)
  while (waiting.length > 0) {
    const at = waiting.findIndex(({ parents }) => parents.every(isDone))
    // A circle of foreign keys: our tables have none.
    const [next] = waiting.splice(Math.max(at, 0), 1)
    if (next)
      done.push({ name: next.name, columns: next.columns, order: next.order, isForced: next.isForced })
  }
  return done
}

const SEQUENCES = statement(
  z.object({ name: z.string() }),
  `select relname::text as name from pg_class where relkind = 'S' and ${OURS} order by relname collate "C"`,
)

/** The names of the sequences of the schema public. */
export async function listSequences(client: pg.ClientBase): Promise<string[]> {
  return (await SEQUENCES.all(client)).map(({ name }) => name)
}

const MIGRATIONS = statement(
  z.object({ name: z.string(), checksum: z.string(), isFinished: z.boolean() }),
  `select migration_name as name, checksum, finished_at is not null as "isFinished"
   from _prisma_migrations where rolled_back_at is null order by migration_name collate "C"`,
)

/** The migrations of a database that has the table of migrations, by name. */
export async function listAppliedMigrations(client: pg.ClientBase) {
  return MIGRATIONS.all(client)
}
