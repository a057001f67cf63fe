import { headers } from 'next/headers'
import { cache } from 'react'
import type { Person } from '@/lib/policy/principal'
import { rolesOf } from '@/lib/store/people/people'
import { askDatabase, noteSeen } from '@/lib/store/people/sessions'
import { sharedDoor } from '@/lib/store/scope/sharedPool'
import { auth } from './auth'

/** Someone signed in, and by which session. */
export interface Presence {
  person: Person
  sessionId: string
  /** IANA zone in which the person reads times. */
  zone: string
}

/**
 * Who asks, by the session cookie of this request. It is looked up each time, so that a session that was ended and a
 * person who has left are nobody at once.
 */
export const presence = cache(async (): Promise<Presence | null> => {
  const found = await sessionOf(await headers())
  if (!found || found.user.leftAt) return null
  const { id, email, name, zone } = found.user
  const [roles] = await Promise.all([
    rolesOf(sharedDoor(), id),
    noteSeen(sharedDoor(), found.session.id, Date.now()),
  ])
  return {
    person: { kind: 'person', id, email, name, roles },
    sessionId: found.session.id,
    zone: zone ?? 'UTC',
  }
})

/** The session of a request's cookie and whose it is, who may have left by now; null where there is none. */
export async function sessionOf(headers: Headers) {
  const query = { disableCookieCache: true, disableRefresh: true }
  return auth()
    .api.getSession({ headers, query })
    .catch(async (error: unknown) => {
      await askDatabase(sharedDoor())
      throw error
    })
}

export const visitor = async (): Promise<Person | null> => (await presence())?.person ?? null
