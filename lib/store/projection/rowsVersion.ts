/**
 * The version of the derived rows (`sample`, `forecast`, `unplaced`). Raise it with every change to the content of a row, so
 * that rows of an older version are derived again.
 *
 * That happens in batches while pages and intake are served, so the code that reads rows has to read those of every version
 * from `SERVED_SINCE` on: a new column is null and a new key absent until the row is derived again, and nothing that was there
 * is renamed or dropped. A change that older rows cannot serve, because a page would be wrong or fail with them, is either made
 * to them by its migration, or raises `SERVED_SINCE` too: then the start waits until all rows are derived again.
 */
export const ROWS_VERSION = 11

/** The oldest version whose rows are served until they are derived again. */
export const SERVED_SINCE = 7

/** The versions of this process's zone data and of its rows: "2026a, rows 3". */
export function getDerivationVersion(): string {
  return `${process.versions.tz ?? 'unknown'}, rows ${ROWS_VERSION}`
}

/** What is stored while rows are derived again: some are of either version, "2026a, rows 3 or 2026b, rows 4". */
export function mixVersions(from: string, to: string): string {
  return from.split(' or ').includes(to) ? from : `${from} or ${to}`
}

/** Whether rows of a stored version, or of several, are served until they are derived again. */
export function isServed(stored: string): boolean {
  const versions = [...stored.matchAll(/rows (\d+)/g)].map(([, version]) => Number(version))
  return versions.length > 0 && versions.every((version) => version >= SERVED_SINCE)
}
