import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { readBackupFile, writeBackupFile } from '@/lib/store/backup/backupFile'
import type { Ending } from '@/lib/store/backup/backupFormat'
import { checkParts, readToEnd } from '@/lib/store/backup/checkParts'
import { type Restored, restoreBackup } from '@/lib/store/backup/restoreBackup'
import { withSnapshot } from '@/lib/store/backup/snapshot'
import { atEndOfFile } from '../../setup/endOfFile'

export const MADE_AT = Date.UTC(2026, 10, 29, 2, 30)

/** A folder that is removed at the end of the calling test file. */
export function makeFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), 'holdfast-backup-'))
  atEndOfFile(() => rmSync(folder, { recursive: true }))
  return folder
}

/** Backs a database up into a file. @returns its size in bytes. */
export function backUp(url: string, file: string, publicKey?: string): Promise<number> {
  return withSnapshot(url, MADE_AT, (parts) => writeBackupFile(file, parts, { publicKey }))
}

export function restore(url: string, file: string, identity?: string): Promise<Restored> {
  return restoreBackup({ url, parts: readBackupFile(file, identity) })
}

/** The rows of each table of a database and the SHA-256 of their text, in a fixed order. */
export async function sumUp(url: string): Promise<Ending['tables']> {
  return withSnapshot(url, MADE_AT, async (parts) => (await readToEnd(await checkParts(parts))).tables)
}
