import type { Translate } from '@/lib/messages/translate'
import { type NewSignInRequest, REQUEST_MINUTES } from '@/lib/store/people/signInRequest'
import { appendToAuditLog } from '@/lib/store/scope/audit'
import { getAuthPool } from '@/lib/store/scope/sharedPool'
import { getSiteUrl } from '@/lib/store/site'
import { composeMail, getMailSettings, type Mail, sendMail } from './mail'

/** The address of the page that a link leads to. */
export function buildSignInLink(siteUrl: string, token: string): string {
  return `${siteUrl}/sign-in/link?token=${token}`
}

/** The mail with a link and a code for someone. */
export function composeSignInMail(
  t: Translate,
  siteUrl: string,
  { token, code }: NewSignInRequest,
  to: string,
): Mail {
  const link = buildSignInLink(siteUrl, token)
  const spaced = `${code.slice(0, 4)} ${code.slice(4)}`
  const { host } = new URL(siteUrl)
  const open = 'Open this link and press the button on the page:'
  const type = 'Or, where you asked for this mail, type the code'
  const limits = `Using one spends the other. Both work once, for ${REQUEST_MINUTES} minutes.`
  const unasked =
    'If you did not ask for this, somebody typed your address; nothing happens unless you use it.'
  return {
    to,
    subject: `Sign in to Holdfast at ${host}`,
    text: [open, link, `${type} ${spaced}`, limits, unasked, ''].join('\n\n'),
    html: [
      '<!doctype html><html lang="en-GB"><body style="font: 16px/1.5 Georgia, serif; max-width: 36em">',
      `<p>${open}</p><p><a href="${link}">${link}</a></p>`,
      `<p>${type}</p><p style="font-size: 24px; letter-spacing: 2px">${spaced}</p>`,
      `<p>${limits}</p><p>${unasked}</p></body></html>`,
    ].join('\n'),
  }
}

const UNKNOWN_RECIPIENT = 'nobody@nowhere.invalid'

/**
 * Mails a link and its code to whom they are for, if there is someone. For nobody a mail is made all the same, so that
 * who asks for something right after is not kept waiting for one address only. What a mail server refuses goes into the log
 * and the record, in its own words.
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
  if (delivery.kind !== 'refused') return
  console.error(`The mail server did not take a sign-in mail: ${delivery.said}`)
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
}
