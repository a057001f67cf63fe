/**
 * A page of a list that is read newest first. Pages are cut by the key of their last row and not by a number of rows, so
 * that none is missed or told twice when others are added meanwhile.
 */
export interface Page<Row> {
  rows: Row[]
  /** The key below which the next page begins; null on the last one. */
  olderThan: string | null
}

/** Cuts what was asked for, one row more than `size`, to a page. */
export function toPage<Row>(found: readonly Row[], size: number, keyOf: (row: Row) => string): Page<Row> {
  const rows = found.slice(0, size)
  const last = rows.at(-1)
  return { rows, olderThan: last !== undefined && found.length > size ? keyOf(last) : null }
}

/** A page and all that come after it, each read when it is asked for; null from `read` ends them. */
export async function* iteratePages<Cut extends Page<unknown>>(
  first: Cut,
  read: (olderThan: string) => Promise<Cut | null>,
): AsyncGenerator<Cut, void> {
  for (let page: Cut | null = first; page !== null; ) {
    yield page
    page = page.olderThan === null ? null : await read(page.olderThan)
  }
}
