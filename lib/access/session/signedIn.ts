import { rolesOf } from '@/lib/store/people/people'
import { askDatabase, endSessions } from '@/lib/store/people/sessions'
import { sharedDoor } from '@/lib/store/scope/sharedPool'
import { networkAddress } from './actor'
import { auth } from './auth'
import type { Way } from './personSession'
import { sessionOf } from './visitor'
import { homeOf } from './wanted'

/**
 * Signs a person in on the browser that sent `request`: the response leads to the local path that was wanted, else to where the person begins, and carries the session's
 * cookie. Null where the person may not sign in.
 */
export async function signedIn(
  request: Request,
  personId: string,
  way: Way,
  wanted: string | null,
): Promise<Response | null> {
  const { headers } = await auth()
    .api.signInPerson({ body: { personId, way }, headers: request.headers, returnHeaders: true })
    .catch((error: unknown) => {
      if ((error as { status?: string }).status === 'FORBIDDEN') return { headers: null }
      throw error
    })
  if (!headers) return null
  const roles = await rolesOf(sharedDoor(), personId)
  return leadTo(wanted ?? homeOf(roles), headers.getSetCookie())
}

/**
 * Ends the session of the browser that sent `request`, on record, and takes its cookie back. Where the end could not be
 * recorded it fails, and the session stays.
 */
export async function signedOut(request: Request): Promise<Response> {
  const found = await sessionOf(request.headers)
  if (found) {
    const { user, session } = found
    const actor = { who: `person ${user.id}`, name: user.name, address: networkAddress(request) }
    await endSessions(sharedDoor(), user.id, { id: session.id }, actor, Date.now(), 'signed out')
  }
  // The library takes a database that is lost for someone who is not signed in.
  if (!found) await askDatabase(sharedDoor())
  const { headers } = await auth().api.signOut({ headers: request.headers, returnHeaders: true })
  return leadTo('/sign-in', headers.getSetCookie())
}

/** The answer to a form: go to a path of this site. */
export function leadTo(location: string, cookies: readonly string[] = []): Response {
  const headers = new Headers({ location, 'cache-control': 'no-store' })
  for (const cookie of cookies) headers.append('set-cookie', cookie)
  return new Response(null, { status: 303, headers })
}
