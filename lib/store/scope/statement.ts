import type { z } from 'zod'
import type { Queryable } from './transaction'

/** What a declared statement is known by: its text, and the schema of a row; null where it has none. */
export interface DeclaredStatement {
  text: string
  row: z.ZodType | null
}

/** An SQL statement that returns rows. Values are bound to $1, $2, ... in their order. */
export interface Statement<Row> {
  /** Every row. */
  all(db: Queryable, values?: readonly unknown[]): Promise<Row[]>
  /** The first row, if there is one. */
  first(db: Queryable, values?: readonly unknown[]): Promise<Row | undefined>
  /** The row of a statement that always has one. @throws Error if it has none. */
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
 * Declares a statement beside its only reader, with the schema of its rows. Its text is fixed: what is asked is bound, and
 * null where it does not limit. The schema gives the type; that the database
 * keeps to it is held by tests, which parse every row and prepare every declared text. Production does neither.
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
      if (found === undefined) throw new Error(`A statement that always has a row had none: ${text}`)
      return found
    },
  }
}

/** Declares a statement without rows. */
export function command(text: string): Command {
  declared.push({ text, row: null })
  return { run: async (db, values = []) => (await db.query(text, [...values])).rowCount ?? 0 }
}

/** All statements of the modules that are loaded, for tests. */
export function listDeclaredStatements(): readonly DeclaredStatement[] {
  return declared
}

/** Has every row that is read looked at, for tests. */
export function checkRows(by: typeof check): void {
  check = by
}
