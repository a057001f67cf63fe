import { readRoles } from '@/lib/store/people/people'
import { assertDatabaseAnswers, endSessions } from '@/lib/store/people/sessions'
import { getAuthPool } from '@/lib/store/scope/sharedPool'
import { getNetworkAddress } from './actor'
import { getAuth } from './auth'
import { findAuthSession } from './currentUser'
import type { SignInMethod } from './personSession'
import { getHomePath } from './returnPath'

/**
 * Signs a person in on the browser that sent `request`. The response sets the session cookie and redirects to the local
 * path `wanted`, else to the person's home page. Null if the person may not sign in.
 */
export async function signIn(
  request: Request,
  personId: string,
  way: SignInMethod,
  wanted: string | null,
): Promise<Response | null> {
  const { headers } = await getAuth()
    .api.signInPerson({ body: { personId, way }, headers: request.headers, returnHeaders: true })
    .catch((error: unknown) => {
      if ((error as { status?: string }).status === 'FORBIDDEN') return { headers: null }
      throw error
    })
  if (!headers) return null
  const roles = await readRoles(getAuthPool(), personId)
  return redirect303(wanted ?? getHomePath(roles), headers.getSetCookie())
}

/**
 * Ends the browser's session, records it and clears the cookie. If it cannot be recorded, it throws and the session
 * stays.
 */
export async function signOut(request: Request): Promise<Response> {
  const found = await findAuthSession(request.headers)
  if (found) {
    const { user, session } = found
    const actor = { who: `person ${user.id}`, name: user.name, address: getNetworkAddress(request) }
    await endSessions(getAuthPool(), user.id, { id: session.id }, actor, Date.now(), 'signed out')
  }
  // The library mistakes a lost database for someone who is not signed in.
  if (!found) await assertDatabaseAnswers(getAuthPool())
  const { headers } = await getAuth().api.signOut({ headers: request.headers, returnHeaders: true })
  return redirect303('/sign-in', headers.getSetCookie())
}

/** The response to a form: a redirect to a path of this site. */
export function redirect303(location: string, cookies: readonly string[] = []): Response {
  const headers = new Headers({ location, 'cache-control': 'no-store' })
  for (const cookie of cookies) headers.append('set-cookie', cookie)
  return new Response(null, { status: 303, headers })
}
