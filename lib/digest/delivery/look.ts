import type pg from 'pg'
import { digestTime } from '@/lib/store/mail/digestTime'
import { emptyOldMails } from '@/lib/store/mail/emptyOldMails'
import { enterMails } from '@/lib/store/mail/enterMails'
import { digestPeople } from '@/lib/store/people/digestPeople'
import { inTransaction } from '@/lib/store/scope/transaction'
import { enterAtOnce } from '../alerts/atOnceRound'
import { dueMails } from '../weekly/plan'

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
