import type { Person } from '@/lib/policy/principal'
import * as sessions from '@/lib/store/people/sessions'
import { getAuthPool } from '@/lib/store/scope/sharedPool'
import { toActor } from './actor'
import { getSession } from './currentUser'

/** A person's own sessions and passkeys. `now` in ms UTC. */
export async function readOwnSignIn(person: Person, now: number) {
  const [all, passkeys, here] = await Promise.all([
    sessions.listSessions(getAuthPool(), person.id, now),
    sessions.listPasskeys(getAuthPool(), person.id),
    getSession(),
  ])
  return { sessions: all, passkeys, sessionId: here?.sessionId ?? null, zone: here?.zone ?? 'UTC' }
}

/** Ends one session of a person, or, if `id` is null, all except the one that asks. */
export async function endOwnSessions(request: Request, person: Person, id: string | null): Promise<void> {
  const here = await getSession()
  if (!here) return
  const which = id === null ? { allBut: here.sessionId } : { id }
  await sessions.endSessions(getAuthPool(), person.id, which, toActor(person, request), Date.now())
}
