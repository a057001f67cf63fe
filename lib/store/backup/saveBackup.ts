import { readBackupFile, writeBackupFile } from './backupFile'
import { type BackupPart, END_NAME, ending } from './backupFormat'
import { checkParts, compare, readToEnd } from './checkParts'
import { withSnapshot } from './snapshot'

/** A backup that was written. */
export interface SavedBackup {
  bytes: number
  tables: number
  rows: number
}

/**
 * Saves a database into a new file as of `now` (ms UTC), and reads the file once more to check it, unless it is encrypted:
 * this machine need not have the secret key.
 * @throws BackupError, or the system's or the database's error; then there is no file.
 */
export async function saveBackup(
  url: string,
  file: string,
  now: number,
  publicKey?: string,
): Promise<SavedBackup> {
  let last: BackupPart | undefined
  async function* watch(parts: AsyncIterable<BackupPart>) {
    for await (const part of parts) {
      last = part
      yield part
    }
  }
  const bytes = await withSnapshot(url, now, (parts) => writeBackupFile(file, watch(parts), publicKey))
  if (last?.name !== END_NAME) throw new Error('The last part of a backup was not written.')
  const end = ending.parse(JSON.parse(last.body.toString('utf8')))
  if (publicKey === undefined) compare(end, await readToEnd(await checkParts(readBackupFile(file))))
  return { bytes, tables: end.tables.length, rows: end.tables.reduce((sum, { rows }) => sum + rows, 0) }
}
