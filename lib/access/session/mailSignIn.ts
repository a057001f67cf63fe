import * as requests from '@/lib/store/people/signInRequest'
import { getAuthPool } from '@/lib/store/scope/sharedPool'
import { getSignInSecret, getSiteUrl } from '@/lib/store/site'
import { getClient, getNetworkAddress } from './actor'

const getSignInContext = () => ({ authPool: getAuthPool(), secret: getSignInSecret() })

export const requestLink = (request: Request, email: string, wanted: string | null) =>
  requests.requestLink(getSignInContext(), { email, source: getClient(request), wanted }, Date.now())

export const consumeLink = (token: string) => requests.consumeLink(getSignInContext(), token, Date.now())

export const tryCode = (request: Request, id: string, code: string) =>
  requests.tryCode(getSignInContext(), { id, code, source: getNetworkAddress(request) }, Date.now())

const COOKIE_NAME = 'holdfast.asked'

/** The cookie that ties a browser to the mail it asked for, for as long as the code works. */
export function formatRequestCookie(id: string): string {
  const secure = getSiteUrl().startsWith('https:') ? '; Secure' : ''
  return `${COOKIE_NAME}=${id}; Path=/; Max-Age=${requests.REQUEST_MINUTES * 60}; HttpOnly; SameSite=Lax${secure}`
}

/** The id of the sign-in request this browser made; empty if there is none. */
export function readRequestId(request: Request): string {
  const cookies = (request.headers.get('cookie') ?? '').split(/; */)
  return cookies.find((one) => one.startsWith(`${COOKIE_NAME}=`))?.slice(COOKIE_NAME.length + 1) ?? ''
}
