import type pg from 'pg'
import { lastDue, localDate, nextDue, sendAt, weekNamed } from '@/lib/schedule/sendAt'
import { knownMails, mailKey } from '@/lib/store/mail/digestMails'
import { digestTime } from '@/lib/store/mail/digestTime'
import { digestPeople } from '@/lib/store/people/digestPeople'
import { addressOf, carriersOf } from '../weekly/carriers'
import { type DigestSite, digestMail, withoutToken } from '../weekly/digestMail'
import { composer } from './composer'

/** What one person would get. */
export interface WouldGet {
  name: string
  address: string
  week: string
  /** ms UTC. */
  dueAt: number
  zone: string
  /** In a few words, why nothing goes, or to whom it goes instead; null where a mail would go. */
  unless: string | null
  subject: string | null
  /** As plain text, without what would stop it: that is its reader's alone. */
  text: string | null
}

/**
 * Who would get what, as things stand at `now` (ms UTC): in a named ISO week, else in the one whose mail comes next. It
 * sends nothing and keeps nothing.
 */
export async function whoWouldGet(
  { app, door, site }: { app: pg.Pool; door: pg.Pool; site: DigestSite },
  weekName: string | null,
  now: number,
): Promise<WouldGet[]> {
  const [time, people] = [await digestTime(door), await digestPeople(door)]
  const week = weekName === null ? null : weekNamed(weekName)
  if (week === undefined) throw new Error(`"${weekName}" is no ISO week. Write it like 2026-W48.`)
  const carriers = carriersOf(people, ({ zone }) => localDate(now, zone))
  const names = new Map(people.map(({ id, name }) => [id, name]))
  const { digest } = composer({ app, door, site, now })
  const dues = people.map((person) => ({
    person,
    due: week ? { week, dueAt: sendAt(week, time, person.zone) } : nextDue(now, time, person.zone),
  }))
  const known = await knownMails(
    door,
    dues.map(({ person, due }) => ({ personId: person.id, occasion: due.week.name })),
  )
  const found: WouldGet[] = []
  for (const { person, due } of dues) {
    const carrier = carriers.get(person.id)
    const isKnown = known.has(mailKey({ personId: person.id, occasion: due.week.name }))
    const isTooLate = due.dueAt < lastDue(now, time, person.zone).dueAt
    const unless = !person.isWanted
      ? 'wants none'
      : isKnown
        ? 'has a mail of that week already'
        : isTooLate
          ? 'a later week is due: this one is not caught up'
          : person.knownSince > due.dueAt
            ? 'came after that hour'
            : carrier !== undefined
              ? `goes with the mail of ${names.get(carrier)}`
              : null
    const made = unless === null ? await digest(person.id, due.week.name, due.dueAt) : null
    const mail = made && digestMail(made, site)
    found.push({
      name: person.name,
      address: addressOf(person),
      week: due.week.name,
      dueAt: due.dueAt,
      zone: person.zone,
      unless: unless ?? (made ? null : 'nothing is overdue, and no line is wanted then'),
      subject: mail?.subject ?? null,
      text: mail && withoutToken(mail.text),
    })
  }
  return found
}
