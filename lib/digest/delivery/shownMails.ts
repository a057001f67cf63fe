import { findNextSend } from '@/lib/schedule/sendTime'
import { readDigestTime } from '@/lib/store/mail/digestTime'
import { RESENDABLE_STATES } from '@/lib/store/mail/mailJobs'
import * as mailStatus from '@/lib/store/mail/mailStatus'
import { findAccessLastReducedAt } from '@/lib/store/people/accessLastReducedAt'
import { listDigestPeople } from '@/lib/store/people/digestPeople'
import { getAppPool, getAuthPool } from '@/lib/store/scope/sharedPool'
import { parseOccasion } from '../alerts/alertOccasion'
import { ALERT_MAX_AGE_MS } from '../alerts/enqueueAlerts'
import { composeDigestMail, type MailSite, redactToken } from '../weekly/digestMail'
import { getMailAddress } from '../weekly/mailboxGroups'
import { createComposer } from './createComposer'

/** Longest time between composing a mail and a slow mail server's reply, ms. */
const DELIVERY_MARGIN_MS = 3_600_000

/**
 * A mail as it was sent, without the token that stops it; null if there is no such mail. The text of a mail from before the
 * reader's access was reduced is withheld, since it may show what they may no longer see.
 */
export async function readSentMail(personId: string, occasion: string, readerSeesAll: boolean, now: number) {
  const mail = await mailStatus.readMail(getAuthPool(), personId, occasion)
  if (!mail) return null
  const reducedAt = readerSeesAll ? null : await findAccessLastReducedAt(getAppPool(), personId)
  const isWithheld = reducedAt !== null && (mail.endedAt ?? mail.dueAt) <= reducedAt + DELIVERY_MARGIN_MS
  const isTooLate = parseOccasion(occasion) !== null && now - mail.dueAt >= ALERT_MAX_AGE_MS
  return {
    ...mail,
    isWithheld,
    text: isWithheld ? null : mail.text && redactToken(mail.text),
    html: isWithheld ? null : mail.html && redactToken(mail.html),
    /** Whether an administrator may have it sent again. */
    mayGoAgain: RESENDABLE_STATES.includes(mail.state) && !isTooLate && mail.emptiedAt === null,
  }
}

/** Everyone who can get the weekly mail, by name. */
export async function listReaders(): Promise<{ id: string; name: string; email: string }[]> {
  const people = await listDigestPeople(getAuthPool())
  return people
    .map(({ id, name, email }) => ({ id, name, email }))
    .sort((a, b) => a.name.localeCompare(b.name))
}

/** The next weekly mail of a person, as of `now` (ms UTC); `text` is null if nothing would be sent. */
export async function previewNextMail(personId: string, site: MailSite, now: number) {
  const person = (await listDigestPeople(getAuthPool())).find(({ id }) => id === personId)
  if (!person) return null
  const { week, dueAt } = findNextSend(now, await readDigestTime(getAuthPool()), person.zone)
  const { digest } = createComposer({ app: getAppPool(), authPool: getAuthPool(), site, now })
  const made = await digest(personId, week.name, dueAt)
  const mail = made && composeDigestMail(made, site)
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
