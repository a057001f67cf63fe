import type pg from 'pg'
import { lastDue, localDate, type SendTime } from '@/lib/schedule/sendAt'
import { emptyOldMails } from '@/lib/store/mail/digestMails'
import { digestTime } from '@/lib/store/mail/digestTime'
import { type DueMail, enterMails } from '@/lib/store/mail/mailJobs'
import { type DigestPerson, digestPeople } from '@/lib/store/people/digestPeople'
import { inTransaction } from '@/lib/store/scope/transaction'
import { enterAtOnce } from '../alerts/atOnceRound'
import { carriersOf } from '../weekly/carriers'

export interface LookBasis {
  /** Works as `holdfast_app`, and as `holdfast_door`. */
  app: pg.Pool
  door: pg.Pool
  /** As of when, ms UTC. */
  now: number
}

/**
 * Enters the mails that are due and not there yet, and lets go of what old ones said. It decides nothing: what is due, and
 * what is old, follows from the time and the rows, so a look that was missed, or that another server took too, changes
 * nothing.
 */
export async function lookForDue({ app, door, now }: LookBasis): Promise<void> {
  const due = dueMails(await digestPeople(door), await digestTime(door), now)
  await inTransaction(door, (client) => enterMails(client, due))
  await inTransaction(door, (client) => emptyOldMails(client, now))
  // After the weekly ones, which what cannot be told at once must not keep from going.
  await enterAtOnce({ app, door, now })
}

/**
 * The mail of each person that is due at `now` (ms UTC): of the last week whose hour has come where they are, so that after
 * a standstill one is caught up and not one for each week. Who came after that hour waits for the next.
 */
function dueMails(people: readonly DigestPerson[], time: SendTime, now: number): DueMail[] {
  const carriers = carriersOf(people, ({ zone }) => localDate(now, zone))
  return people
    .filter(({ isWanted }) => isWanted)
    .flatMap(({ id, zone, knownSince }) => {
      const { week, dueAt } = lastDue(now, time, zone)
      if (knownSince > dueAt) return []
      return [{ personId: id, occasion: week.name, dueAt, carriedBy: carriers.get(id) ?? null }]
    })
}
