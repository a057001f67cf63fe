import type { Translate } from '@/lib/messages/translate'
import { recordSignInMail } from '@/lib/store/mail/signInMailFault'
import { type NewSignInRequest, REQUEST_MINUTES } from '@/lib/store/people/signInRequest'
import { appendToAuditLog } from '@/lib/store/scope/audit'
import { getAppPool, getAuthPool } from '@/lib/store/scope/sharedPool'
import { getSiteUrl } from '@/lib/store/site'
import { getLog } from '@/lib/telemetry/log'
import { composeMail, getMailSettings, type Mail, sendMail } from './mail'

export function buildSignInLink(siteUrl: string, token: string): string {
  return `${siteUrl}/sign-in/link?token=${token}`
}

/** The mail with a link, and a code if the request has one. */
export function composeSignInMail(
  t: Translate,
  siteUrl: string,
  { token, code }: NewSignInRequest,
  to: string,
): Mail {
  const link = buildSignInLink(siteUrl, token)
  const spacedCode = code && `${code.slice(0, 4)} ${code.slice(4)}`
  const { host } = new URL(siteUrl)
  const minutes = REQUEST_MINUTES
  const limits = code ? t('signInMail.limits', { minutes }) : t('signInMail.limits.link', { minutes })
  return {
    to,
    subject: t('signInMail.subject', { host }),
    text: [
      t('signInMail.open'),
      link,
      ...(spacedCode ? [t('signInMail.code'), spacedCode] : []),
      limits,
      t('signInMail.unasked'),
      '',
    ].join('\n\n'),
    html: [
      `<!doctype html><html lang="${t.tag}"><body style="font: 16px/1.5 Georgia, serif; max-width: 36em">`,
      `<p>${t('signInMail.open')}</p><p><a href="${link}">${link}</a></p>`,
      ...(spacedCode
        ? [`<p>${t('signInMail.code')}</p><p style="font-size: 24px; letter-spacing: 2px">${spacedCode}</p>`]
        : []),
      `<p>${limits}</p><p>${t('signInMail.unasked')}</p></body></html>`,
    ].join('\n'),
  }
}

const UNKNOWN_RECIPIENT = 'nobody@nowhere.invalid'

/**
 * Mails a link and its code. A mail to an unknown address is composed too, and discarded, so that the time of the next
 * request does not tell whether the address is known. If it cannot be sent, the reason goes into the log
 * and the audit log.
 */
export async function sendSignInMail(t: Translate, made: NewSignInRequest): Promise<void> {
  const { person } = made
  const settings = getMailSettings(getSiteUrl())
  const mail = composeSignInMail(t, getSiteUrl(), made, person?.email ?? UNKNOWN_RECIPIENT)
  if (!person) {
    await composeMail(mail, settings)
    return
  }
  const delivery = await sendMail(mail, settings, Date.now())
  if (delivery.kind !== 'refused') return recordSignInMail(getAppPool(), null)
  getLog().error(`A sign-in mail could not be sent: ${delivery.said}`)
  const line = {
    what: 'mailed a sign-in link',
    subject: person.id,
    after: { said: delivery.said },
    outcome: 'refused' as const,
  }
  await appendToAuditLog(
    getAuthPool(),
    { who: 'nobody', name: 'The sign-in', address: null },
    [line],
    Date.now(),
  )
  await recordSignInMail(getAppPool(), Date.now())
}
