import { recordSchedule } from '@/lib/store/backup/backupStatus'
import { assertPublicKey } from '@/lib/store/backup/encryption'
import { runBackups } from '@/lib/store/backup/runBackups'
import { getEnvironment } from '@/lib/store/environment'
import { openOwnerPool } from '@/lib/store/scope/pool'
import { log, runStep } from './steps'
import { warnOfFolder } from './warnOfFolder'

/**
 * Makes daily backups, if they are scheduled; says so.
 * @returns a function that ends the schedule.
 */
export async function scheduleBackups(url: string): Promise<() => Promise<void>> {
  const { backupDir: dir, backupKey: publicKey } = getEnvironment()
  return runStep('Backups', async () => {
    if (dir === undefined) {
      await forgetSchedule(url)
      const summary =
        'None are scheduled: the server in DATABASE_URL may have its own. Set HOLDFAST_BACKUP_DIR for daily ones.'
      return { summary, value: async () => {} }
    }
    warnOfFolder('HOLDFAST_BACKUP_DIR', dir)
    if (publicKey !== undefined) assertPublicKey(publicKey)
    const stop = runBackups(
      { url, dir, publicKey },
      {
        onDone: (file) => log('·', 'Backups', `Made ${file}.`),
        onFault: (reason) => log('!', 'Backups', `The backup failed and is tried again: ${reason}`),
        onRemovalFault: (reason) =>
          log('!', 'Backups', `The backup is good, but older ones cannot be removed: ${reason}`),
      },
    )
    return { summary: `Daily, into ${dir}; the last 14 are kept.`, value: stop }
  })
}

/** Nobody is warned of backups that are missing if none are wanted. Another server that makes some says so again. */
async function forgetSchedule(url: string): Promise<void> {
  const pool = openOwnerPool(url, { max: 1 })
  try {
    await recordSchedule(pool, null)
  } finally {
    await pool.end()
  }
}
