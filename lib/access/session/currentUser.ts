import { headers } from 'next/headers'
import { cache } from 'react'
import type { Person } from '@/lib/policy/principal'
import { readRoles } from '@/lib/store/people/people'
import { assertDatabaseAnswers, recordSeen } from '@/lib/store/people/sessions'
import { getAuthPool } from '@/lib/store/scope/sharedPool'
import { getAuth } from './auth'

/** Someone signed in, and by which session. */
export interface UserSession {
  person: Person
  sessionId: string
  /** IANA zone in which the person reads times. */
  zone: string
}

/**
 * Who asks, by the session cookie of this request. It is looked up each time, so that a session that was ended and a
 * person who has left are nobody at once.
 */
export const getSession = cache(async (): Promise<UserSession | null> => {
  const found = await findAuthSession(await headers())
  if (!found || found.user.leftAt) return null
  const { id, email, name, zone } = found.user
  const [roles] = await Promise.all([
    readRoles(getAuthPool(), id),
    recordSeen(getAuthPool(), found.session.id, Date.now()),
  ])
  return {
    person: { kind: 'person', id, email, name, roles },
    sessionId: found.session.id,
    zone: zone ?? 'UTC',
  }
})

/** The session of a request's cookie and whose it is, who may have left by now; null where there is none. */
export async function findAuthSession(headers: Headers) {
  const query = { disableCookieCache: true, disableRefresh: true }
  return getAuth()
    .api.getSession({ headers, query })
    .catch(async (error: unknown) => {
      await assertDatabaseAnswers(getAuthPool())
      throw error
    })
}

export const getUser = async (): Promise<Person | null> => (await getSession())?.person ?? null
