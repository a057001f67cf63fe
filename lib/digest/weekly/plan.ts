import { lastDue, localDate, type SendTime } from '@/lib/schedule/sendAt'
import type { DueMail } from '@/lib/store/mail/enterMails'
import type { DigestPerson } from '@/lib/store/people/digestPeople'
import { carriersOf } from './carriers'

/**
 * The mail of each person that is due at `now` (ms UTC): of the last week whose hour has come where they are, so that after
 * a standstill one is caught up and not one for each week. Who came after that hour waits for the next.
 */
export function dueMails(people: readonly DigestPerson[], time: SendTime, now: number): DueMail[] {
  const carriers = carriersOf(people, ({ zone }) => localDate(now, zone))
  return people
    .filter(({ isWanted }) => isWanted)
    .flatMap(({ id, zone, knownSince }) => {
      const { week, dueAt } = lastDue(now, time, zone)
      if (knownSince > dueAt) return []
      return [{ personId: id, occasion: week.name, dueAt, carriedBy: carriers.get(id) ?? null }]
    })
}
