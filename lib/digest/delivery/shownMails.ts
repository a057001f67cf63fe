import { nextDue } from '@/lib/schedule/sendAt'
import * as fatesOf from '@/lib/store/mail/digestFates'
import { digestTime } from '@/lib/store/mail/digestTime'
import { SENT_AGAIN_AFTER } from '@/lib/store/mail/mailJobs'
import { digestPeople } from '@/lib/store/people/digestPeople'
import { narrowedAt } from '@/lib/store/people/narrowedAt'
import { sharedDoor, sharedPool } from '@/lib/store/scope/sharedPool'
import { readOccasion } from '../alerts/atOnceOccasion'
import { AT_ONCE_FOR_MS } from '../alerts/atOnceRound'
import { addressOf } from '../weekly/carriers'
import { type DigestSite, digestMail, withoutToken } from '../weekly/digestMail'
import { composer } from './composer'

/** Between reading what someone may see and a slow mail server's last word lie no more than so many ms. */
const ON_ITS_WAY_MS = 3_600_000

/**
 * A mail as it was sent, but for its link that stops the mail; null where there is no such mail. To whoever does not
 * see all it is not told how one read that was made before they were let see less: it may tell what they may not
 * see any more.
 */
export async function sentMail(personId: string, occasion: string, readerSeesAll: boolean, now: number) {
  const mail = await fatesOf.sentMail(sharedDoor(), personId, occasion)
  if (!mail) return null
  const narrowed = readerSeesAll ? null : await narrowedAt(sharedPool(), personId)
  const isWithheld = narrowed !== null && (mail.endedAt ?? mail.dueAt) <= narrowed + ON_ITS_WAY_MS
  const isTooLate = readOccasion(occasion) !== null && now - mail.dueAt >= AT_ONCE_FOR_MS
  return {
    ...mail,
    isWithheld,
    text: isWithheld ? null : mail.text && withoutToken(mail.text),
    html: isWithheld ? null : mail.html && withoutToken(mail.html),
    /** An administrator may have it sent once more. */
    mayGoAgain: SENT_AGAIN_AFTER.includes(mail.state) && !isTooLate && mail.emptiedAt === null,
  }
}

/** Everyone who may get the weekly mail, by name. */
export async function readers(): Promise<{ id: string; name: string; email: string }[]> {
  const people = await digestPeople(sharedDoor())
  return people
    .map(({ id, name, email }) => ({ id, name, email }))
    .sort((a, b) => a.name.localeCompare(b.name))
}

/** The next mail of a person, as it would be if it went at `now` (ms UTC); `text` is null where nothing would go. */
export async function nextMail(personId: string, site: DigestSite, now: number) {
  const person = (await digestPeople(sharedDoor())).find(({ id }) => id === personId)
  if (!person) return null
  const { week, dueAt } = nextDue(now, await digestTime(sharedDoor()), person.zone)
  const { digest } = composer({ app: sharedPool(), door: sharedDoor(), site, now })
  const made = await digest(personId, week.name, dueAt)
  const mail = made && digestMail(made, site)
  return {
    name: person.name,
    address: addressOf(person),
    isWanted: person.isWanted,
    week: week.name,
    dueAt,
    zone: person.zone,
    subject: mail?.subject ?? null,
    text: mail ? withoutToken(mail.text) : null,
    html: mail ? withoutToken(mail.html) : null,
  }
}
