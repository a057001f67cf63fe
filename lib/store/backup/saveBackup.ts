import { rm } from 'node:fs/promises'
import { readBackupFile, type WriteOptions, writeBackupFile } from './backupFile'
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
  options: WriteOptions = {},
): Promise<SavedBackup> {
  const { publicKey, signal } = options
  let last: BackupPart | undefined
  async function* watch(parts: AsyncGenerator<BackupPart>) {
    for await (const part of parts) {
      signal?.throwIfAborted()
      last = part
      yield part
    }
  }
  const bytes = await withSnapshot(url, now, (parts) => writeBackupFile(file, watch(parts), options))
  if (last?.name !== END_NAME) throw new Error('The last part of a backup was not written.')
  const end = ending.parse(JSON.parse(last.body.toString('utf8')))
  try {
    if (publicKey === undefined) compare(end, await readToEnd(await checkParts(watch(readBackupFile(file)))))
  } catch (error) {
    await rm(file, { force: true })
    throw error
  }
  return { bytes, tables: end.tables.length, rows: end.tables.reduce((sum, { rows }) => sum + rows, 0) }
}
