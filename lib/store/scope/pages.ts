/**
 * A page of a list, newest first. Pages are cut by the key of their last row, not by an offset, so that rows added
 * meanwhile neither hide nor repeat one.
 */
export interface Page<Row> {
  rows: Row[]
  /** The key below which the next page begins; null on the last page. */
  olderThan: string | null
}

/** Makes a page of `found`, which holds up to one row more than `size`. */
export function toPage<Row>(found: readonly Row[], size: number, getKey: (row: Row) => string): Page<Row> {
  const rows = found.slice(0, size)
  const last = rows.at(-1)
  return { rows, olderThan: last !== undefined && found.length > size ? getKey(last) : null }
}

/** A page and all that follow, each read on demand; null from `read` ends them. */
export async function* iteratePages<Cut extends Page<unknown>>(
  first: Cut,
  read: (olderThan: string) => Promise<Cut | null>,
): AsyncGenerator<Cut, void> {
  for (let page: Cut | null = first; page !== null; ) {
    yield page
    page = page.olderThan === null ? null : await read(page.olderThan)
  }
}
