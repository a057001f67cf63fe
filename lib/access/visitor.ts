import { headers } from 'next/headers'
import { cache } from 'react'
import { sharedDoor } from '@/lib/store/sharedPool'
import { auth } from './auth'
import type { Person, Roles } from './principal'

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
  const found = await auth().api.getSession({
    headers: await headers(),
    query: { disableCookieCache: true, disableRefresh: true },
  })
  if (!found || found.user.leftAt) return null
  const { id, email, name, zone } = found.user
  const roles = await rolesSeen(id, found.session.id)
  return {
    person: { kind: 'person', id, email, name, roles },
    sessionId: found.session.id,
    zone: zone ?? 'UTC',
  }
})

export const visitor = async (): Promise<Person | null> => (await presence())?.person ?? null

/** What a person is; notes, to the minute, that their session was seen now. */
async function rolesSeen(personId: string, sessionId: string): Promise<Roles> {
  const { rows } = await sharedDoor().query<{ role: string; place: string }>(
    `with seen as (
       update session set updated_at = $3 where id = $2 and updated_at < $3::timestamptz - interval '1 minute'
     )
     select role, place from person_role where person_id = $1 order by id`,
    [personId, sessionId, new Date()],
  )
  const places = (role: string) => rows.filter((row) => row.role === role).map(({ place }) => place)
  return {
    isAdministrator: places('administrator').length > 0,
    isReader: places('reader').length > 0,
    plants: places('plant contact'),
    laboratories: places('laboratory desk'),
  }
}
