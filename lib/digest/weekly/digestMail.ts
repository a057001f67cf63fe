import { createHash } from 'node:crypto'
import { createTransport } from 'nodemailer'
import type { Translate } from '@/lib/messages/translate'
import type { ComposedMail, DigestKey } from '@/lib/store/mail/digestMails'
import type { MailList } from '@/lib/store/people/digestPreference'
import { type Digest, listOverdueKeys } from './digest'
import { getMailAddress } from './mailboxGroups'
import { renderContent } from './mailContent'
import { renderHtml } from './renderHtml'
import { renderText } from './renderText'
import { createUnsubscribeToken } from './unsubscribe'

/** Whom mail is from, and where its links lead. */
export interface MailSite {
  /** Like https://holdfast.example. */
  url: string
  from: string
  /** Where answers go; whom it is from unless said. */
  replyTo?: string | undefined
  /** The site's own, which signs what stops the mail. */
  secret: string
}

/** The same for a person and week each time, so that a mail program can tell a repetition. */
export function createMessageId({ personId, occasion }: DigestKey, siteUrl: string): string {
  const digest = createHash('sha256').update(`${occasion}\n${personId}`).digest('hex').slice(0, 32)
  return `<digest.${occasion.replace(/[^\w-]/g, '.')}.${digest}@${new URL(siteUrl).hostname}>`
}

/** Writes a digest as a mail to a person's mailbox. */
export function composeDigestMail(t: Translate, digest: Digest, site: MailSite): ComposedMail {
  const { person, week } = digest
  const outline = renderContent(t, digest, site.url, buildStopUrl(site, person.id, person.tokenSerial))
  return {
    address: getMailAddress(person),
    messageId: createMessageId({ personId: person.id, occasion: week }, site.url),
    subject: outline.subject,
    text: renderText(t, outline),
    html: renderHtml(t, outline),
    named: listOverdueKeys(digest),
  }
}

/** Where a POST stops mails of a list to a person; `serial` makes it revocable. */
export function buildStopUrl(
  { url, secret }: MailSite,
  personId: string,
  serial: number,
  list: MailList = 'weekly',
): string {
  return `${url}/api/digest/stop?token=${createUnsubscribeToken(secret, personId, serial, list)}`
}

/**
 * The whole message as it goes over the wire. One-click unsubscription is only promised where the site is reached by
 * HTTPS, as RFC 8058 asks.
 * @param stopUrl where a POST stops the mail
 * @param list which of the mails that can be stopped apart it is one of
 */
export async function renderMessage(
  mail: ComposedMail,
  name: string,
  site: MailSite,
  at: number,
  stopUrl: string,
  list: MailList = 'weekly',
): Promise<Buffer> {
  const isSecure = site.url.startsWith('https:')
  const { message } = await createTransport({
    streamTransport: true,
    buffer: true,
    newline: 'windows',
  }).sendMail({
    from: site.from,
    replyTo: site.replyTo,
    to: { name, address: mail.address },
    subject: mail.subject,
    text: mail.text,
    html: mail.html,
    messageId: mail.messageId,
    date: new Date(at),
    headers: {
      'List-Unsubscribe': { prepared: true, value: `<${stopUrl}>` },
      ...(isSecure ? { 'List-Unsubscribe-Post': 'List-Unsubscribe=One-Click' } : {}),
      'List-Id': `Holdfast ${list} <${list.replace(' ', '-')}.${new URL(site.url).hostname}>`,
      'Auto-Submitted': 'auto-generated',
    },
    disableFileAccess: true,
    disableUrlAccess: true,
  })
  return message as Buffer
}

/** A mail for others to read: the link that stops it is its reader's alone. */
export function redactToken(text: string): string {
  return text.replaceAll(/\?token=[\w.-]+/g, '?token=…')
}

/** The address of whom mail is from, without the name. */
export function parseAddress(from: string): string {
  return /<([^<>]+)>/.exec(from)?.[1] ?? from
}

/** A message on its way: the bytes as they go over the wire, from which address to which. */
export interface WireMail {
  from: string
  to: string
  message: Buffer
}

/** A mail made for a claimed row, as it is kept and as it goes over the wire. */
export interface OutgoingMail {
  mail: ComposedMail
  wire: WireMail
}
