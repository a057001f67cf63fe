import type { BackupPart } from '@/lib/store/backup/backupFormat'
import { restoreBackup } from '@/lib/store/backup/restoreBackup'
import { getDatabaseName } from '@/lib/store/migrate/databases'
import { ensureDerived } from '@/lib/store/projection/rebuild'
import { openAppPool } from '@/lib/store/scope/pool'
import { log, runStep } from './steps'

/** Restores parts into an empty database, brings it to this version as a start does, and prints each step. */
export async function restoreProgramme(url: string, parts: AsyncGenerator<BackupPart>): Promise<void> {
  await runStep('Restore', async () => {
    const say = (sentence: string) => log('·', 'Restore', sentence)
    const { tables, rows, migrated, manifest } = await restoreBackup({ url, parts, log: say })
    const summary = [
      `${getDatabaseName(url)}: ${tables} tables, ${rows} rows. Every count and checksum is the backup’s, of ${manifest.madeAt}.`,
      ...(migrated.length > 0 ? [`${migrated.length} newer migrations applied.`] : []),
    ]
    return { summary: summary.join('\n'), value: undefined }
  })
  await runStep('Samples', async () => {
    const pool = openAppPool(url)
    try {
      const derived = await ensureDerived(pool, Date.now())
      const summary = derived
        ? `${derived.samples} derived again, because zone data or program differ from those of the backup.`
        : 'As they were backed up.'
      return { summary, value: undefined }
    } finally {
      await pool.end()
    }
  })
}
