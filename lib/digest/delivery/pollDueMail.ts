import type pg from 'pg'
import { findLastSend, formatLocalDate, type SendTime } from '@/lib/schedule/sendTime'
import { redactOldMails } from '@/lib/store/mail/digestMails'
import { readDigestTime } from '@/lib/store/mail/digestTime'
import { type DueMail, enqueueMails } from '@/lib/store/mail/mailJobs'
import { type DigestPerson, listDigestPeople } from '@/lib/store/people/digestPeople'
import { withTransaction } from '@/lib/store/scope/transaction'
import { enqueueAlerts } from '../alerts/enqueueAlerts'
import { groupMailboxes } from '../weekly/mailboxGroups'

export interface PollContext {
  /** Works as `holdfast_app`. */
  app: pg.Pool
  /** Works as `holdfast_door`. */
  authPool: pg.Pool
  /** As of when, ms UTC. */
  now: number
}

/**
 * Enqueues the mails and alerts that are due and redacts old mails. It keeps no state: what is due follows from the time and the
 * rows, so a poll that is missed, or repeated by another server, does no harm.
 */
export async function pollDueMail({ app, authPool, now }: PollContext): Promise<void> {
  const due = listDueMails(await listDigestPeople(authPool), await readDigestTime(authPool), now)
  await withTransaction(authPool, (client) => enqueueMails(client, due, now))
  await withTransaction(authPool, (client) => redactOldMails(client, now))
  // Last, so that a failure of alerts does not keep weekly mails from going.
  await enqueueAlerts({ app, authPool, now })
}

/**
 * The weekly mail of each person that is due at `now` (ms UTC): that of the last week whose hour has come in their zone. After an
 * outage only that one is sent, not one for each week. People who came after that hour wait for the next.
 */
function listDueMails(people: readonly DigestPerson[], time: SendTime, now: number): DueMail[] {
  const carriers = groupMailboxes(people, ({ zone }) => formatLocalDate(now, zone))
  return people
    .filter(({ isWanted }) => isWanted)
    .flatMap(({ id, zone, knownSince }) => {
      const { week, dueAt } = findLastSend(now, time, zone)
      if (knownSince > dueAt) return []
      return [{ personId: id, occasion: week.name, dueAt, carriedBy: carriers.get(id) ?? null }]
    })
}
