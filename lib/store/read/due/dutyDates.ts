import type pg from 'pg'
import type { DutyContent } from '@/lib/custody/owedContents'
import { entriesOf, Register } from '@/lib/custody/register'
import type { RegisterDocument } from '@/lib/custody/registerDocument'
import { nextTest } from '@/lib/schedule/owed'
import { laneRecord } from '../../projection/laneRecord'
import { officeDays, officeOf } from '../../register/office'
import { inScope } from '../../scope/scope'
import { paceOf } from './dueWork'

/** How many tests after the next are told. */
const MORE = 2

/**
 * The dates that a duty of `document` would give at `now` (ms UTC), by the lanes' record and the office's days: of its
 * next test, and of those after it. The document need not be the register that holds. Null where there is none to come.
 */
export async function dutyDates(pool: pg.Pool, document: RegisterDocument, duty: DutyContent, now: number) {
  const register = new Register(entriesOf(document, Number.NEGATIVE_INFINITY))
  const pace = paceOf(await laneRecord(pool, now))
  const office = officeDays(await inScope(pool, 'all', (client) => officeOf(client, register)))
  return nextTest(duty, { register, pace, office, now }, MORE)
}
