import { DAY, HOUR, MINUTE } from '@/lib/hold/zone'
import { type Message, type MessageKey, message } from '@/lib/messages/message'
import { type BackupStatus, isBackupOverdue } from '../backup/backupStatus'
import type { DatabaseFault } from '../scope/unavailable'
import type { DiskRoom } from './diskRoom'
import type { MailFacts } from './mailFacts'
import type { ProbeResult } from './probe'

/** What is checked, in this order. */
export const CHECK_NAMES = ['database', 'migrations', 'queue', 'mail', 'disk', 'backup'] as const
export type CheckName = (typeof CHECK_NAMES)[number]

/** One part of the server. `failed`: it cannot serve, 503; `warning`: it serves, and someone has to look. */
export interface Check {
  name: CheckName
  state: 'ok' | 'warning' | 'failed'
  /** A short sentence for anyone: no address, no name, no secret. */
  says: Message
  /** What to do about it; null if nothing is wrong. */
  advice: Message | null
  /** Which of its faults the database has. */
  fault?: DatabaseFault
}

/** Facts of the server. What could not be read is null, and not judged. Instants in ms UTC. */
export interface ServerFacts {
  probe: ProbeResult
  mails: MailFacts | null
  disk: DiskRoom | null
  backup: BackupStatus | null
  /** When the last sign-in mail could not be sent; null if it was sent, or there was none. */
  signInMailFailedAt: number | null
  isDemo: boolean
  /** Whether there is a mail server; else mail goes to the outbox. */
  hasMailServer: boolean
  /** Since when this process runs. */
  startedAt: number
}

/** pg-boss polls each minute; after five, three polls have failed and the next was due. */
const POLL_OVERDUE_MS = 5 * MINUTE
/** A mail is retried for hours by design; one that waits longer than this has no working mail server. */
const WAITING_LONG_MS = 6 * HOUR
/** PostgreSQL needs room for a checkpoint's log (1 GB by default, max_wal_size) beside what it stores. */
const LITTLE_ROOM = 1024 ** 3

/** Judges the facts at `now` (ms UTC). Only the database and its migrations can make the server not ready. */
export function judgeServer(facts: ServerFacts, now: number): Check[] {
  return [
    checkDatabase(facts.probe.fault),
    ...(facts.probe.hasOurMigrations === null ? [] : [checkMigrations(facts.probe.hasOurMigrations)]),
    ...(facts.mails === null
      ? []
      : [checkQueue(facts, facts.mails, now), checkMail(facts, facts.mails, now)]),
    ...(facts.disk === null ? [] : [checkDisk(facts.disk)]),
    ...(facts.backup === null ? [] : [checkBackup(facts, facts.backup, now)]),
  ]
}

const ok = (name: CheckName, says: Message): Check => ({ name, state: 'ok', says, advice: null })
const warn = (name: CheckName, says: Message, advice: Message): Check => ({
  name,
  state: 'warning',
  says,
  advice,
})

const FAULTS = {
  unreachable: ['server.database.unreachable', 'server.database.unreachableAdvice'],
  missing: ['server.database.missing', 'server.database.missingAdvice'],
  crowded: ['server.database.crowded', 'server.database.crowdedAdvice'],
  'read-only': ['server.database.readOnly', 'server.database.readOnlyAdvice'],
  full: ['server.database.full', 'server.database.fullAdvice'],
} as const satisfies Record<DatabaseFault, readonly [MessageKey, MessageKey]>

function checkDatabase(fault: DatabaseFault | null): Check {
  if (fault === null) return ok('database', message('server.database.ok'))
  const [says, advice] = FAULTS[fault]
  return { name: 'database', state: 'failed', says: message(says), advice: message(advice), fault }
}

function checkMigrations(areOurs: boolean): Check {
  if (areOurs) return ok('migrations', message('server.migrations.ok'))
  const [says, advice] = [message('server.migrations.others'), message('server.migrations.othersAdvice')]
  return { name: 'migrations', state: 'failed', says, advice }
}

function checkQueue({ isDemo, startedAt }: ServerFacts, mails: MailFacts, now: number): Check {
  if (isDemo) return ok('queue', message('server.queue.demo'))
  const silentMs = now - Math.max(mails.polledAt ?? 0, startedAt)
  if (silentMs > POLL_OVERDUE_MS)
    return warn(
      'queue',
      message('server.queue.still', { minutes: Math.floor(silentMs / MINUTE) }),
      message('server.queue.stillAdvice'),
    )
  const waitedMs = mails.waitingSince === null ? 0 : now - mails.waitingSince
  if (waitedMs > WAITING_LONG_MS)
    return warn(
      'queue',
      message('server.queue.waiting', { hours: Math.floor(waitedMs / HOUR) }),
      message('server.queue.waitingAdvice'),
    )
  return ok('queue', message('server.queue.ok'))
}

function checkMail(
  { isDemo, hasMailServer, signInMailFailedAt: failedAt }: ServerFacts,
  mails: MailFacts,
  now: number,
): Check {
  if (isDemo) return ok('mail', message('server.mail.demo'))
  if (!hasMailServer) return warn('mail', message('server.mail.outbox'), message('server.mail.outboxAdvice'))
  const { triedInVain, inDoubt, givenUp } = mails
  if (triedInVain > 0)
    return warn(
      'mail',
      message('server.mail.refused', { count: triedInVain }),
      message('server.mail.refusedAdvice'),
    )
  if (failedAt !== null && now - failedAt <= DAY && (mails.lastSentAt ?? 0) < failedAt)
    return warn('mail', message('server.mail.signIn'), message('server.mail.signInAdvice'))
  if (inDoubt + givenUp > 0)
    return warn(
      'mail',
      message('server.mail.doubt', { count: inDoubt + givenUp }),
      message('server.mail.doubtAdvice'),
    )
  return ok('mail', message(mails.lastSentAt === null ? 'server.mail.none' : 'server.mail.ok'))
}

function checkDisk({ free }: DiskRoom): Check {
  if (free >= LITTLE_ROOM) return ok('disk', message('server.disk.ok'))
  return warn('disk', message('server.disk.little'), message('server.disk.littleAdvice'))
}

function checkBackup({ isDemo }: ServerFacts, status: BackupStatus, now: number): Check {
  const { lastGoodAt, lastFault, scheduledSince } = status
  if (isDemo) return ok('backup', message('server.backup.demo'))
  const advice = message('server.backup.advice')
  if (lastFault !== null) return warn('backup', message('server.backup.failed'), advice)
  if (scheduledSince === null) return ok('backup', message('server.backup.elsewhere'))
  const isOverdue = isBackupOverdue(status, now)
  if (lastGoodAt === null)
    return isOverdue
      ? warn('backup', message('server.backup.none'), advice)
      : ok('backup', message('server.backup.soon'))
  const days = Math.floor((now - lastGoodAt) / DAY)
  return isOverdue
    ? warn('backup', message('server.backup.old', { days }), advice)
    : ok('backup', message('server.backup.ok'))
}
