import { join } from 'node:path'
import { createTransport } from 'nodemailer'
import type { Person } from '@/lib/policy/principal'
import { getEnvironment } from '@/lib/store/environment'
import { getSignInSecret, getSiteUrl } from '@/lib/store/site'
import { describeSmtpError, parseSmtpUrl, type SmtpError } from './smtp'
import { writeToOutbox } from './writeToOutbox'

export interface Mail {
  to: string
  subject: string
  text: string
  html: string
}

export interface MailSettings {
  /** If absent, mail is written to the outbox. */
  smtpUrl?: string
  /** CA certificates (PEM), by default those that Node trusts. */
  smtpCa?: string
  from: string
  /** The folder for mail if there is no server. */
  outbox: string
}

export type SendResult =
  | { kind: 'sent' }
  | { kind: 'written'; path: string }
  | { kind: 'refused'; said: string }

const TIMEOUT_MS = 15_000

/** The settings of this process. The sender's address is at the site's host if MAIL_FROM is not set. */
export function getMailSettings(siteUrl: string): MailSettings {
  const { smtpUrl, smtpCa, mailFrom, dataDir } = getEnvironment()
  const from = mailFrom ?? `Holdfast <holdfast@${new URL(siteUrl).hostname}>`
  return { smtpUrl, smtpCa, from, outbox: join(dataDir, 'outbox') }
}

/** Sends a mail, or writes it to the outbox, in a file named by `now` (ms UTC). It does not throw: a failure is a result. */
export async function sendMail(mail: Mail, settings: MailSettings, now: number): Promise<SendResult> {
  try {
    if (settings.smtpUrl) {
      await createTransport(toSmtpOptions(settings.smtpUrl, settings.smtpCa)).sendMail(
        toMessage(mail, settings),
      )
      return { kind: 'sent' }
    }
    const written = await composeMail(mail, settings)
    const [id = ''] = written.messageId.replace(/^</, '').split('@')
    const name = `${new Date(now).toISOString().replaceAll(':', '.')} ${id}`
    return { kind: 'written', path: await writeToOutbox(settings.outbox, name, written.message as Buffer) }
  } catch (error) {
    const { smtpUrl } = settings
    return {
      kind: 'refused',
      said: smtpUrl ? describeSmtpError(error as SmtpError, smtpUrl) : (error as Error).message,
    }
  }
}

/** Composes a mail without sending it. */
export async function composeMail(mail: Mail, settings: MailSettings) {
  return createTransport({ streamTransport: true, buffer: true }).sendMail(toMessage(mail, settings))
}

function toMessage(mail: Mail, { from }: MailSettings) {
  return { ...mail, from, disableFileAccess: true, disableUrlAccess: true }
}

function toSmtpOptions(smtpUrl: string, smtpCa: string | undefined) {
  return {
    ...parseSmtpUrl(smtpUrl, smtpCa),
    connectionTimeout: TIMEOUT_MS,
    greetingTimeout: TIMEOUT_MS,
    socketTimeout: TIMEOUT_MS,
  }
}

/** The outbox folder, for an administrator if there is no mail server; else null. */
export function findOutboxNotice(person: Person | null): string | null {
  if (!person?.roles.isAdministrator) return null
  const { smtpUrl, outbox } = getMailSettings(getSiteUrl())
  return smtpUrl ? null : outbox
}

/** The sender of the mails and the URL of their links, from the settings of this process. */
export function getMailSite() {
  const url = getSiteUrl()
  return {
    url,
    from: getMailSettings(url).from,
    replyTo: getEnvironment().mailReplyTo,
    secret: getSignInSecret(),
  }
}
