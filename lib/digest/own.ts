import { nextDue, type SendTime } from '@/lib/schedule/sendAt'
import type { Actor } from '@/lib/store/audit'
import { badAddresses as badAddressesOf } from '@/lib/store/badAddresses'
import * as fatesOf from '@/lib/store/digestFates'
import type { DigestKey } from '@/lib/store/digestMails'
import { digestPeople } from '@/lib/store/digestPeople'
import * as preferences from '@/lib/store/digestPreference'
import { digestTime, setDigestTime } from '@/lib/store/digestTime'
import type { DueWork } from '@/lib/store/dueWork'
import * as mailboxes from '@/lib/store/mailboxes'
import { narrowedAt } from '@/lib/store/narrowedAt'
import type { Scope } from '@/lib/store/scope'
import { SENT_AGAIN_AFTER, sendAgain } from '@/lib/store/sendAgain'
import { sharedDoor, sharedPool } from '@/lib/store/sharedPool'
import { readOccasion } from './atOnceOccasion'
import { AT_ONCE_FOR_MS } from './atOnceRound'
import { addressOf } from './carriers'
import { composer } from './composer'
import { type DigestSite, digestMail, withoutToken } from './digestMail'
import { pressingFirst } from './pressingFirst'
import { type MailList, readUnsubscribeToken } from './unsubscribe'

export { AT_ONCE_KINDS, type AtOnceKind } from '@/lib/store/atOnceChoice'
export type { PressingFirst } from './pressingFirst'

/** What is overdue, most pressing first as the weekly mail has it, and what waiting costs. */
export const pressing = (scope: Scope, work: DueWork) => pressingFirst(sharedPool(), scope, work)

/** What pages and routes ask of the weekly mail, on the database of this process. */
export const ownPreference = (personId: string) => preferences.digestPreference(sharedDoor(), personId)

export const choose = (
  personId: string,
  after: Parameters<typeof preferences.setDigestPreference>[2],
  actor: Actor,
  now: number,
) => preferences.setDigestPreference(sharedDoor(), personId, after, actor, now)

export const timeOfWeek = () => digestTime(sharedDoor())

export const setTimeOfWeek = (time: SendTime, actor: Actor, now: number) =>
  setDigestTime(sharedDoor(), time, actor, now)

/** Which mails a token stops; the weekly ones where it is no token. */
export const listOfToken = (secret: string, token: string): MailList =>
  readUnsubscribeToken(secret, token)?.list ?? 'weekly'

/** Stops the mail of whoever a token was mailed to. `address` is where the wish came from. */
export async function stopByToken(
  secret: string,
  token: string,
  address: string,
  now: number,
): Promise<preferences.Stopped> {
  const read = readUnsubscribeToken(secret, token)
  return read ? preferences.stopDigest(sharedDoor(), read, address, now) : 'no such link'
}

export const fates = (personId: string | null, which: Parameters<typeof fatesOf.digestFates>[2]) =>
  fatesOf.digestFates(sharedDoor(), personId, which)

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

export const sendOnceMore = (key: DigestKey, actor: Actor, now: number) =>
  sendAgain(sharedDoor(), key, actor, now)

export const mailboxOf = (personId: string) => mailboxes.mailboxOf(sharedDoor(), personId)

export const setMailbox = (personId: string, mailbox: string | null, actor: Actor, now: number) =>
  mailboxes.setMailbox(sharedDoor(), personId, mailbox, actor, now)

/** The addresses that mail servers refuse, and nobody has put right. */
export const badAddresses = () => badAddressesOf(sharedDoor())

export const standIns = (personId: string) => fatesOf.colleagues(sharedDoor(), personId)

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
  const { week, dueAt } = nextDue(now, await timeOfWeek(), person.zone)
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
