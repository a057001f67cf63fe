import type { Translate } from '@/lib/messages/translate'
import { isBackupOverdue } from '@/lib/store/backup/backupStatus'
import type { DateFormat } from './dateFormat'
import type { Digest } from './digest'
import type { MaybeSection } from './sections'

/** Tells an administrator when the last backup was made, as a warning if it is overdue. */
export function renderBackup(
  t: Translate,
  { backup, asOf, person }: Digest,
  dates: DateFormat,
): MaybeSection {
  if (!backup || (backup.lastGoodAt === null && backup.scheduledSince === null)) return false
  const { lastGoodAt, lastFault } = backup
  const time = lastGoodAt === null ? null : dates.time(lastGoodAt, person.zone)
  const sentences = [
    time === null ? t('mail.backup.none') : t('mail.backup.last', { time }),
    ...(lastFault ? [t('mail.backup.fault', { reason: lastFault.reason })] : []),
  ]
  return {
    heading: t(isBackupOverdue(backup, asOf) ? 'mail.backup.overdue' : 'mail.backup.heading'),
    note: sentences.join(' '),
    groups: [],
    more: null,
  }
}
