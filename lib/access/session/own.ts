import type { Person } from '@/lib/policy/principal'
import * as sessions from '@/lib/store/people/sessions'
import { sharedDoor } from '@/lib/store/scope/sharedPool'
import { actorOf } from './actor'
import { presence } from './visitor'

/** What a person sees and does of their own sign-in, on the database of this process. */
export async function ownSignIn(person: Person, now: number) {
  const [all, passkeys, here] = await Promise.all([
    sessions.ownSessions(sharedDoor(), person.id, now),
    sessions.ownPasskeys(sharedDoor(), person.id),
    presence(),
  ])
  return { sessions: all, passkeys, sessionId: here?.sessionId ?? null, zone: here?.zone ?? 'UTC' }
}

/** Ends one session of a person, or all but the one that asks. */
export async function endOwnSessions(request: Request, person: Person, id: string | null): Promise<void> {
  const here = await presence()
  if (!here) return
  const which = id === null ? { allBut: here.sessionId } : { id }
  await sessions.endSessions(sharedDoor(), person.id, which, actorOf(person, request), Date.now())
}
