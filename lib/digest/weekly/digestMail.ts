import { createHash } from 'node:crypto'
import { createTransport } from 'nodemailer'
import { nameBidiControls } from '@/lib/messages/bidiControls'
import { chooseLanguage } from '@/lib/messages/chooseLanguage'
import type { ComposedMail, DigestKey } from '@/lib/store/mail/digestMails'
import type { MailList } from '@/lib/store/people/digestPreference'
import { type Digest, listOverdueKeys } from './digest'
import { getMailAddress } from './mailboxGroups'
import { renderContent } from './mailContent'
import { renderHtml } from './renderHtml'
import { renderText } from './renderText'
import { createUnsubscribeToken } from './unsubscribe'

/** The sender of mails, and the site of their links. */
export interface MailSite {
  /** Like https://holdfast.example. */
  url: string
  from: string
  /** The address for replies; by default the sender's. */
  replyTo?: string | undefined
  /** Signs the token that stops the mail. */
  secret: string
}

/** Deterministic, so that a mail program can recognise a repetition. */
export function createMessageId({ personId, occasion }: DigestKey, siteUrl: string): string {
  const digest = createHash('sha256').update(`${occasion}\n${personId}`).digest('hex').slice(0, 32)
  return `<digest.${occasion.replace(/[^\w-]/g, '.')}.${digest}@${new URL(siteUrl).hostname}>`
}

/** Composes a digest as a mail to a person's mailbox. */
export function composeDigestMail(digest: Digest, site: MailSite): ComposedMail {
  const { person, week } = digest
  const t = chooseLanguage(person.language)
  const content = renderContent(t, digest, site.url, buildStopUrl(site, person.id, person.tokenSerial))
  return {
    address: getMailAddress(person),
    messageId: createMessageId({ personId: person.id, occasion: week }, site.url),
    subject: content.subject,
    text: renderText(t, content),
    html: renderHtml(t, content),
    named: listOverdueKeys(digest),
  }
}

/** A POST to this URL stops mails of a list to a person; `serial` makes it revocable. */
export function buildStopUrl(
  { url, secret }: MailSite,
  personId: string,
  serial: number,
  list: MailList = 'weekly',
): string {
  return `${url}/api/digest/stop?token=${createUnsubscribeToken(secret, personId, serial, list)}`
}

/**
 * The MIME message. One-click unsubscription is only announced if the site has HTTPS, as RFC 8058 requires.
 * @param stopUrl a POST to it stops the mails of `list`
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
    to: { name: nameBidiControls(name), address: mail.address },
    subject: nameBidiControls(mail.subject),
    text: mail.text,
    html: mail.html,
    messageId: mail.messageId,
    date: new Date(at),
    headers: {
      'List-Unsubscribe': { prepared: true, value: `<${stopUrl}>` },
      ...(isSecure ? { 'List-Unsubscribe-Post': 'List-Unsubscribe=One-Click' } : {}),
      'List-Id': `Holdfast ${list} <${list}.${new URL(site.url).hostname}>`,
      'Auto-Submitted': 'auto-generated',
    },
    disableFileAccess: true,
    disableUrlAccess: true,
  })
  return message as Buffer
}

/** Removes the token that stops the mail, for everyone but its reader. */
export function redactToken(text: string): string {
  return text.replaceAll(/\?token=[\w.-]+/g, '?token=…')
}

/** The address of a sender without the name. */
export function parseAddress(from: string): string {
  return /<([^<>]+)>/.exec(from)?.[1] ?? from
}

/** The envelope and the bytes of a message. */
export interface WireMail {
  from: string
  to: string
  message: Buffer
}

/** A composed mail, as it is stored and as it is sent. */
export interface OutgoingMail {
  mail: ComposedMail
  wire: WireMail
}
