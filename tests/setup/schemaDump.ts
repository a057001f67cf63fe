import type pg from 'pg'
import { QUEUE_SCHEMA } from '@/lib/store/migrate/queueSchema'
import { PARTS, SECTIONS, UNKNOWN } from './schemaQueries'

const head = `-- The database as all migrations leave it, read from its catalogs. It is for readers and reviews: no program runs it.
-- tests/store/schemaDump.test.ts fails when the database differs from it. To write it anew, after a new migration:
--   npm test -- tests/store/schemaDump.test.ts -u
-- Not here: the schema "${QUEUE_SCHEMA}" (pg-boss makes it, lib/store/migrate/queueSchema.ts grants its use), privileges that come with
-- owning an object, and privileges on the database as a whole. An owner is named only if the database has another one.`

interface Line {
  /** OID of the table or view that the line belongs to. */
  relation: number
  line: string
}

/**
 * Renders a snapshot of the schema of a migrated database as SQL, one object per line, in a fixed order: by name, and columns by
 * position. Sets the search path of the session.
 * @throws Error if the database has an object of a kind that the dump would omit.
 */
export async function dumpSchema(client: pg.ClientBase): Promise<string> {
  await client.query('set search_path = public')
  const { rows: unknown } = await client.query<{ name: string }>(UNKNOWN)
  if (unknown.length > 0) {
    const names = unknown.map(({ name }) => name).join(', ')
    throw new Error(`The schema dump can not render: ${names}. Add a query to tests/setup/schemaQueries.ts.`)
  }
  const text = [head]
  for (const [title, sql] of SECTIONS.before) text.push(section(title, await readLines(client, sql)))
  text.push(...(await dumpRelations(client)))
  for (const [title, sql] of SECTIONS.after) text.push(section(title, await readLines(client, sql), '\n\n'))
  return `${text.filter((part) => part !== '').join('\n\n')}\n`
}

function section(title: string, lines: string[], between = '\n'): string {
  return lines.length === 0 ? '' : `-- ${title}\n${lines.join(between)}`
}

async function readLines(client: pg.ClientBase, sql: string): Promise<string[]> {
  const { rows } = await client.query<{ line: string }>(sql)
  return rows.map(({ line }) => line.trimEnd())
}

async function dumpRelations(client: pg.ClientBase): Promise<string[]> {
  const { rows: relations } = await client.query<Line & { name: string; isTable: boolean }>(PARTS.relations)
  const columns = await readLinesByRelation(client, [PARTS.columns, PARTS.constraints])
  const rest = await readLinesByRelation(client, PARTS.rest)
  return relations.map(({ relation, name, isTable, line }) => {
    const body = `(\n${(columns.get(relation) ?? []).map((one) => `    ${one}`).join(',\n')}\n)`
    const made = isTable ? line.replace('()', () => body) : line
    return section(name, [made, ...(rest.get(relation) ?? [])])
  })
}

async function readLinesByRelation(client: pg.ClientBase, queries: string[]): Promise<Map<number, string[]>> {
  const lines = new Map<number, string[]>()
  for (const sql of queries) {
    const { rows } = await client.query<Line>(sql)
    for (const { relation, line } of rows) lines.set(relation, [...(lines.get(relation) ?? []), line])
  }
  return lines
}
