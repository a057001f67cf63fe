import type { z } from 'zod'
import type { Queryable } from './transaction'

/** The text of a declared statement, and the schema of its rows; null if it returns none. */
export interface DeclaredStatement {
  text: string
  row: z.ZodType | null
}

/** An SQL statement that returns rows. Values are bound to $1, $2, ... in order. */
export interface Statement<Row> {
  all(db: Queryable, values?: readonly unknown[]): Promise<Row[]>
  first(db: Queryable, values?: readonly unknown[]): Promise<Row | undefined>
  /** The row of a statement that always returns one. @throws Error if it returns none. */
  one(db: Queryable, values?: readonly unknown[]): Promise<Row>
}

/** An SQL statement that returns no rows. */
export interface Command {
  /** @returns how many rows it wrote, locked or found. */
  run(db: Queryable, values?: readonly unknown[]): Promise<number>
}

const declared: DeclaredStatement[] = []
let check: ((rows: readonly unknown[], row: z.ZodType) => void) | null = null

/**
 * Declares a statement, beside its only reader, with the schema of its rows. The text is fixed: every value is bound,
 * and null means no limit. The schema gives the type; tests hold the database to it by parsing every row and preparing
 * every statement, production does neither.
 */
export function statement<Row extends object>(row: z.ZodType<Row>, text: string): Statement<Row> {
  declared.push({ text, row })
  const all = async (db: Queryable, values: readonly unknown[] = []) => {
    const { rows } = await db.query<Row>(text, [...values])
    check?.(rows, row)
    return rows
  }
  return {
    all,
    first: async (db, values) => (await all(db, values))[0],
    one: async (db, values) => {
      const [found] = await all(db, values)
      if (found === undefined) throw new Error(`A statement that always returns a row returned none: ${text}`)
      return found
    },
  }
}

export function command(text: string): Command {
  declared.push({ text, row: null })
  return { run: async (db, values = []) => (await db.query(text, [...values])).rowCount ?? 0 }
}

/** All statements of the loaded modules, for tests. */
export function listDeclaredStatements(): readonly DeclaredStatement[] {
  return declared
}

/** Has every row checked as it is read, for tests. */
export function checkRows(by: typeof check): void {
  check = by
}
