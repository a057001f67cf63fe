import type pg from 'pg'
import { computeSendAt, findLastSend, findNextSend, findWeek, formatLocalDate } from '@/lib/schedule/sendTime'
import { findKnownMails, formatMailKey } from '@/lib/store/mail/digestMails'
import { readDigestTime } from '@/lib/store/mail/digestTime'
import { listDigestPeople } from '@/lib/store/people/digestPeople'
import { composeDigestMail, type MailSite, redactToken } from '../weekly/digestMail'
import { getMailAddress, groupMailboxes } from '../weekly/mailboxGroups'
import { createComposer } from './createComposer'

export interface MailPreview {
  name: string
  address: string
  week: string
  /** ms UTC. */
  dueAt: number
  zone: string
  /** In a few words; null if a mail would be sent. */
  notSentBecause: string | null
  subject: string | null
  /** Plain text, without the token that stops the mail: that is its reader's alone. */
  text: string | null
}

/**
 * The mail that each person would get, as of `now` (ms UTC), in a named ISO week, by default the next one. It sends and saves
 * nothing.
 */
export async function previewMails(
  { app, authPool, site }: { app: pg.Pool; authPool: pg.Pool; site: MailSite },
  weekName: string | null,
  now: number,
): Promise<MailPreview[]> {
  const [time, people] = [await readDigestTime(authPool), await listDigestPeople(authPool)]
  const week = weekName === null ? null : findWeek(weekName)
  if (week === undefined) throw new Error(`"${weekName}" is not an ISO week. Write it like 2026-W48.`)
  const carriers = groupMailboxes(people, ({ zone }) => formatLocalDate(now, zone))
  const names = new Map(people.map(({ id, name }) => [id, name]))
  const { digest } = createComposer({ app, authPool, site, now })
  const dues = people.map((person) => ({
    person,
    due: week
      ? { week, dueAt: computeSendAt(week, time, person.zone) }
      : findNextSend(now, time, person.zone),
  }))
  const known = await findKnownMails(
    authPool,
    dues.map(({ person, due }) => ({ personId: person.id, occasion: due.week.name })),
  )
  const found: MailPreview[] = []
  for (const { person, due } of dues) {
    const carrier = carriers.get(person.id)
    const isKnown = known.has(formatMailKey({ personId: person.id, occasion: due.week.name }))
    const isTooLate = due.dueAt < findLastSend(now, time, person.zone).dueAt
    const reason = !person.isWanted
      ? 'wants none'
      : isKnown
        ? 'already has a mail of that week'
        : isTooLate
          ? 'a later week is due, and this one is not caught up'
          : person.knownSince > due.dueAt
            ? 'joined after that hour'
            : carrier !== undefined
              ? `goes with the mail of ${names.get(carrier)}`
              : null
    const made = reason === null ? await digest(person.id, due.week.name, due.dueAt) : null
    const mail = made && composeDigestMail(made, site)
    found.push({
      name: person.name,
      address: getMailAddress(person),
      week: due.week.name,
      dueAt: due.dueAt,
      zone: person.zone,
      notSentBecause: reason ?? (made ? null : 'nothing is overdue, and no mail is wanted then'),
      subject: mail?.subject ?? null,
      text: mail && redactToken(mail.text),
    })
  }
  return found
}
