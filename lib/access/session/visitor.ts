import { headers } from 'next/headers'
import { cache } from 'react'
import type { Person } from '@/lib/policy/principal'
import { rolesOf } from '@/lib/store/people/roles'
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
  const [roles] = await Promise.all([rolesOf(sharedDoor(), id), noteSeen(found.session.id)])
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
      await askDatabase()
      throw error
    })
}

export const visitor = async (): Promise<Person | null> => (await presence())?.person ?? null

/**
 * Fails as the database does, if it does. The sign-in library does not say why it failed, or takes a database that is
 * lost for someone who is not signed in.
 */
export async function askDatabase(): Promise<void> {
  await sharedDoor().query('select')
}

/** Notes, to the minute, that a session was seen now. */
async function noteSeen(sessionId: string): Promise<void> {
  await sharedDoor().query(
    `update session set updated_at = $2 where id = $1 and updated_at < $2::timestamptz - interval '1 minute'`,
    [sessionId, new Date()],
  )
}
