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
  /** Works as `holdfast_app`, and as `holdfast_door`. */
  app: pg.Pool
  authPool: pg.Pool
  /** As of when, ms UTC. */
  now: number
}

/**
 * Enters the mails that are due and not there yet, and lets go of what old ones said. It decides nothing: what is due, and
 * what is old, follows from the time and the rows, so a look that was missed, or that another server took too, changes
 * nothing.
 */
export async function pollDueMail({ app, authPool, now }: PollContext): Promise<void> {
  const due = listDueMails(await listDigestPeople(authPool), await readDigestTime(authPool), now)
  await withTransaction(authPool, (client) => enqueueMails(client, due))
  await withTransaction(authPool, (client) => redactOldMails(client, now))
  // After the weekly ones, which what cannot be told at once must not keep from going.
  await enqueueAlerts({ app, authPool, now })
}

/**
 * The mail of each person that is due at `now` (ms UTC): of the last week whose hour has come where they are, so that after
 * a standstill one is caught up and not one for each week. Who came after that hour waits for the next.
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
