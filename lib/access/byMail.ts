import { record } from '@/lib/store/audit'
import { sharedDoor } from '@/lib/store/sharedPool'
import { sharedSecret, siteUrl } from './auth'
import { composeMail, mailSettings, sendMail } from './mail'
import { networkAddress } from './networkAddress'
import { signInMail } from './signInMail'
import * as requests from './signInRequest'

/** Signing in by mail on the database of this process. */
const door = () => ({ door: sharedDoor(), secret: sharedSecret() })

export const askForLink = (request: Request, email: string, wanted: string | null) =>
  requests.askForLink(door(), { email, source: networkAddress(request), wanted }, Date.now())

export const spendLink = (token: string) => requests.spendLink(door(), token, Date.now())

export const tryCode = (request: Request, id: string, code: string) =>
  requests.tryCode(door(), { id, code, source: networkAddress(request) }, Date.now())

const NOBODY = 'nobody@nowhere.invalid'

/**
 * Mails a link and its code to whom they are for, if there is someone. For nobody a mail is made all the same, so that
 * who asks for something right after is not kept waiting for one address only. What a mail server refuses goes into the log
 * and the record, in its own words.
 */
export async function mailLink(made: requests.MadeRequest): Promise<void> {
  const { person } = made
  const settings = mailSettings(siteUrl())
  const mail = signInMail(siteUrl(), made, person?.email ?? NOBODY)
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
  await record(sharedDoor(), { who: 'nobody', name: 'The sign-in', address: null }, [line], Date.now())
}

const ASKED = 'holdfast.asked'

/** The cookie by which the browser that asked for a mail is known, for as long as its code works. */
export function askedCookie(id: string): string {
  const secure = siteUrl().startsWith('https:') ? '; Secure' : ''
  return `${ASKED}=${id}; Path=/; Max-Age=${requests.REQUEST_MINUTES * 60}; HttpOnly; SameSite=Lax${secure}`
}

/** Which request this browser made. */
export function askedId(request: Request): string {
  const cookies = (request.headers.get('cookie') ?? '').split(/; */)
  return cookies.find((one) => one.startsWith(`${ASKED}=`))?.slice(ASKED.length + 1) ?? ''
}
