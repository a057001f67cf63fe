import type pg from 'pg'
import { digestPeople } from '@/lib/store/digestPeople'
import { digestTime } from '@/lib/store/digestTime'
import { enterMails } from '@/lib/store/enterMails'
import { inTransaction } from '@/lib/store/transaction'
import { enterAtOnce } from './atOnceRound'
import { dueMails } from './plan'

export interface LookBasis {
  /** Works as `holdfast_app`, and as `holdfast_door`. */
  app: pg.Pool
  door: pg.Pool
  /** As of when, ms UTC. */
  now: number
}

/**
 * Enters the mails that are due and not there yet. It decides nothing: what is due follows from the time and the rows, so
 * a look that was missed, or that another server took too, changes nothing.
 */
export async function lookForDue({ app, door, now }: LookBasis): Promise<void> {
  const due = dueMails(await digestPeople(door), await digestTime(door), now)
  await inTransaction(door, (client) => enterMails(client, due))
  // After the weekly ones, which what cannot be told at once must not keep from going.
  await enterAtOnce({ app, door, now })
}
