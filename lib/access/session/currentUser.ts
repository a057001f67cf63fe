import { headers } from 'next/headers'
import { cache } from 'react'
import type { Person } from '@/lib/policy/principal'
import { readRoles } from '@/lib/store/people/people'
import { assertDatabaseAnswers, recordSeen } from '@/lib/store/people/sessions'
import { getAuthPool } from '@/lib/store/scope/sharedPool'
import { notePrincipal } from '@/lib/telemetry/requestContext'
import { getAuth } from './auth'

/** A signed-in person and their session. */
export interface UserSession {
  person: Person
  sessionId: string
  /** IANA zone in which the person reads times. */
  zone: string
}

/**
 * The session of this request, by its cookie. Looked up on every request, so an ended session, or a person who has
 * left, loses access at once.
 */
export const getSession = cache(async (): Promise<UserSession | null> => {
  const found = await findAuthSession(await headers())
  if (!found || found.user.leftAt) return null
  const { id, email, name, zone } = found.user
  const [roles] = await Promise.all([
    readRoles(getAuthPool(), id),
    recordSeen(getAuthPool(), found.session.id, Date.now()),
  ])
  notePrincipal({ kind: 'person', id })
  return {
    person: { kind: 'person', id, email, name, roles },
    sessionId: found.session.id,
    zone: zone ?? 'UTC',
  }
})

/** The library's session for a cookie, with its person, who may have left; null if there is none. */
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
