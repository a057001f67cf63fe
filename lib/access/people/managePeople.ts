import type pg from 'pg'
import { type Message, message } from '@/lib/messages/message'
import {
  insertPerson,
  type KnownPerson,
  type ListedPerson,
  type PersonEntry,
  readPeople,
  updatePerson,
  withPeopleLock,
} from '@/lib/store/people/people'
import type { Actor } from '@/lib/store/scope/audit'
import { getPrisma } from '@/lib/store/scope/prisma'
import { getAuthPool } from '@/lib/store/scope/sharedPool'
import { isAdministrator, type PeopleList, type PeoplePlan, planPeople, toKnownPerson } from './planPeople'

/** Everyone who can or could sign in, by name. */
export function listPeople(): Promise<ListedPerson[]> {
  return readPeople(getPrisma(getAuthPool()))
}

/**
 * Adds a person and records it. `now` in ms UTC.
 * @returns the id, or why the person cannot be added
 */
export async function addPerson(
  authPool: pg.Pool,
  entry: PersonEntry,
  actor: Actor,
  now: number,
): Promise<{ id: string } | { problem: Message }> {
  return withPeopleLock(authPool, async (db, audit) => {
    const made = await insertPerson(db, entry, now)
    if (!made) return { problem: message('people.fault.known', { email: entry.email }) }
    audit(actor, now, made.line)
    return { id: made.id }
  })
}

/**
 * Changes a person and records it; `hasLeft` ends their access. Refused if no administrator would be left. `now` in ms
 * UTC.
 */
export async function changePerson(
  authPool: pg.Pool,
  id: string,
  entry: KnownPerson,
  actor: Actor,
  now: number,
): Promise<{ id: string } | { problem: Message }> {
  return withPeopleLock(authPool, async (db, audit) => {
    const known = await readPeople(db)
    const before = known.find((one) => one.id === id)
    if (!before) return { problem: message('people.fault.gone') }
    const others = known.filter((one) => one !== before)
    if (isAdministrator(before) && !isAdministrator(entry) && !others.some(isAdministrator))
      return { problem: message('people.fault.lastAdministrator') }
    if (others.some(({ email }) => email === entry.email))
      return { problem: message('people.fault.taken', { email: entry.email }) }
    audit(actor, now, ...(await updatePerson(db, id, { before: toKnownPerson(before), after: entry }, now)))
    return { id }
  })
}

/** What a list of people would change now. */
export async function previewPeopleList(authPool: pg.Pool, written: PeopleList): Promise<PeoplePlan> {
  return planPeople(await readPeople(getPrisma(authPool)), written)
}

/**
 * Applies a list of people in one transaction and records it, if the plan still is the one that was shown (`confirmed`,
 * its digest). `now` in ms UTC.
 * @returns what was done; null, with nothing done, if the plan has changed since
 */
export async function applyPeopleList(
  authPool: pg.Pool,
  written: PeopleList,
  confirmed: string,
  actor: Actor,
  now: number,
): Promise<PeoplePlan | null> {
  return withPeopleLock(authPool, async (db, audit) => {
    const plan = planPeople(await readPeople(db), written)
    if (plan.digest !== confirmed) return null
    for (const { after } of plan.added) {
      const made = await insertPerson(db, after, now)
      if (!made) throw new Error(`${after.email} is there although nobody else could add anyone.`)
      audit(actor, now, made.line)
    }
    for (const { id, before, after } of plan.changed)
      if (id !== null && before !== null)
        audit(actor, now, ...(await updatePerson(db, id, { before, after }, now)))
    return plan
  })
}
