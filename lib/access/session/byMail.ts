import * as requests from '@/lib/store/people/signInRequest'
import { sharedDoor } from '@/lib/store/scope/sharedPool'
import { sharedSecret, siteUrl } from '@/lib/store/site'
import { networkAddress } from './actor'

/** Signing in by mail on the database of this process. */
const door = () => ({ door: sharedDoor(), secret: sharedSecret() })

export const askForLink = (request: Request, email: string, wanted: string | null) =>
  requests.askForLink(door(), { email, source: networkAddress(request), wanted }, Date.now())

export const spendLink = (token: string) => requests.spendLink(door(), token, Date.now())

export const tryCode = (request: Request, id: string, code: string) =>
  requests.tryCode(door(), { id, code, source: networkAddress(request) }, Date.now())

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
