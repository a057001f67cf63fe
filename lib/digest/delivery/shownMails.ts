import { english } from '@/lib/messages/english'
import { findNextSend } from '@/lib/schedule/sendTime'
import { readDigestTime } from '@/lib/store/mail/digestTime'
import { RESENDABLE_STATES } from '@/lib/store/mail/mailJobs'
import * as fatesOf from '@/lib/store/mail/mailStatus'
import { findAccessLastReducedAt } from '@/lib/store/people/accessLastReducedAt'
import { listDigestPeople } from '@/lib/store/people/digestPeople'
import { getAppPool, getAuthPool } from '@/lib/store/scope/sharedPool'
import { parseOccasion } from '../alerts/alertOccasion'
import { ALERT_MAX_AGE_MS } from '../alerts/enqueueAlerts'
import { composeDigestMail, type MailSite, redactToken } from '../weekly/digestMail'
import { getMailAddress } from '../weekly/mailboxGroups'
import { createComposer } from './createComposer'

/** Between reading what someone may see and a slow mail server's last word lie no more than so many ms. */
const DELIVERY_MARGIN_MS = 3_600_000

/**
 * A mail as it was sent, but for its link that stops the mail; null where there is no such mail. To whoever does not
 * see all it is not told how one read that was made before they were let see less: it may tell what they may not
 * see any more.
 */
export async function readSentMail(personId: string, occasion: string, readerSeesAll: boolean, now: number) {
  const mail = await fatesOf.readMail(getAuthPool(), personId, occasion)
  if (!mail) return null
  const narrowed = readerSeesAll ? null : await findAccessLastReducedAt(getAppPool(), personId)
  const isWithheld = narrowed !== null && (mail.endedAt ?? mail.dueAt) <= narrowed + DELIVERY_MARGIN_MS
  const isTooLate = parseOccasion(occasion) !== null && now - mail.dueAt >= ALERT_MAX_AGE_MS
  return {
    ...mail,
    isWithheld,
    text: isWithheld ? null : mail.text && redactToken(mail.text),
    html: isWithheld ? null : mail.html && redactToken(mail.html),
    /** An administrator may have it sent once more. */
    mayGoAgain: RESENDABLE_STATES.includes(mail.state) && !isTooLate && mail.emptiedAt === null,
  }
}

/** Everyone who may get the weekly mail, by name. */
export async function listReaders(): Promise<{ id: string; name: string; email: string }[]> {
  const people = await listDigestPeople(getAuthPool())
  return people
    .map(({ id, name, email }) => ({ id, name, email }))
    .sort((a, b) => a.name.localeCompare(b.name))
}

/** The next mail of a person, as it would be if it went at `now` (ms UTC); `text` is null where nothing would go. */
export async function previewNextMail(personId: string, site: MailSite, now: number) {
  const person = (await listDigestPeople(getAuthPool())).find(({ id }) => id === personId)
  if (!person) return null
  const { week, dueAt } = findNextSend(now, await readDigestTime(getAuthPool()), person.zone)
  const { digest } = createComposer({ app: getAppPool(), authPool: getAuthPool(), site, now })
  const made = await digest(personId, week.name, dueAt)
  const mail = made && composeDigestMail(english, made, site)
  return {
    name: person.name,
    address: getMailAddress(person),
    isWanted: person.isWanted,
    week: week.name,
    dueAt,
    zone: person.zone,
    subject: mail?.subject ?? null,
    text: mail ? redactToken(mail.text) : null,
    html: mail ? redactToken(mail.html) : null,
  }
}
