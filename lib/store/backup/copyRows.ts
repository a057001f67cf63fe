import { createHash } from 'node:crypto'
import { Readable } from 'node:stream'
import { pipeline } from 'node:stream/promises'
import pg from 'pg'
import { from as copyFrom, to as copyTo } from 'pg-copy-streams'
import type { Table } from './tables'

/** Memory stays bounded by a few of these, whatever the size of a table. */
const CHUNK_BYTES = 4_000_000

const LINE_END = 10

/**
 * Settings of a transaction that copies: the text of a value must not depend on the server, the database or the user, and
 * no limit of theirs may end it half way.
 */
export const COPY_SETTINGS = `set local timezone = 'UTC'; set local datestyle = 'ISO'; set local intervalstyle = 'postgres';
  set local extra_float_digits = 1; set local bytea_output = 'hex'; set local client_encoding = 'UTF8';
  set local statement_timeout = 0; set local lock_timeout = 0; set local idle_in_transaction_session_timeout = 0`

/** Reads a table in the order of its key, as COPY text in pieces of whole rows. */
export async function* copyOut(client: pg.ClientBase, table: Table): AsyncGenerator<Buffer> {
  const name = pg.escapeIdentifier(table.name)
  const columns = table.columns.map((column) => pg.escapeIdentifier(column)).join(', ')
  const order = table.order.length > 0 ? table.order.join(', ') : `${name}::text collate "C"`
  const rows = client.query(
    copyTo(`copy (select ${columns} from public.${name} order by ${order}) to stdout`),
  )
  let held: Buffer[] = []
  let size = 0
  for await (const data of rows as AsyncIterable<Buffer>) {
    held.push(data)
    size += data.length
    if (size < CHUNK_BYTES || !data.includes(LINE_END)) continue
    const all = Buffer.concat(held)
    const end = all.lastIndexOf(LINE_END) + 1
    yield all.subarray(0, end)
    held = [all.subarray(end)]
    size = all.length - end
  }
  if (size > 0) yield Buffer.concat(held)
}

/** Writes COPY text into a table. */
export async function copyIn(
  client: pg.ClientBase,
  table: Pick<Table, 'name' | 'columns'>,
  chunks: AsyncIterable<Buffer>,
): Promise<void> {
  const columns = table.columns.map((column) => pg.escapeIdentifier(column)).join(', ')
  const into = client.query(
    copyFrom(`copy public.${pg.escapeIdentifier(table.name)} (${columns}) from stdin`),
  )
  await pipeline(Readable.from(chunks), into)
}

/** Counts the rows of COPY text and computes its SHA-256, piece by piece. */
export class RowSum {
  #hash = createHash('sha256')
  #rows = 0

  add(chunk: Buffer): void {
    this.#hash.update(chunk)
    // COPY writes the line ends within a value as \n, so each byte is the end of a row.
    for (let at = chunk.indexOf(LINE_END); at >= 0; at = chunk.indexOf(LINE_END, at + 1)) this.#rows++
  }

  /** Ends the sum; to be called once. */
  finish(): { rows: number; sha256: string } {
    return { rows: this.#rows, sha256: this.#hash.digest('hex') }
  }
}
