import type pg from 'pg'
import { sortByPlace, toRoles } from '@/lib/policy/personRoles'
import { insertPerson, type KnownPerson, lockPeople, updatePerson } from '@/lib/store/people/personRows'
import type { Actor } from '@/lib/store/scope/audit'
import { inTransaction } from '@/lib/store/scope/transaction'
import { type PeoplePlan, planPeople, type WrittenPeople } from './planPeople'

/** What a list of people would do now. `door` works as `holdfast_door`. */
export async function tryPeople(door: pg.Pool, written: WrittenPeople): Promise<PeoplePlan> {
  return inTransaction(door, async (db) => planPeople(await everyone(db), written))
}

/**
 * Does what a list of people says, all of it and on record in one transaction, if that still is what was shown
 * (`confirmed`, the plan's digest). `now` in ms UTC.
 * @returns what was done; null, and nothing is done, where it would be something else by now
 */
export async function enterMany(
  door: pg.Pool,
  written: WrittenPeople,
  confirmed: string,
  actor: Actor,
  now: number,
): Promise<PeoplePlan | null> {
  try {
    return await inTransaction(door, async (db) => {
      await lockPeople(db)
      const plan = planPeople(await everyone(db), written)
      if (plan.digest !== confirmed) return null
      for (const { after } of plan.added)
        if ((await insertPerson(db, after, actor, now)) === null) throw new Moved()
      for (const { id, before, after } of plan.changed)
        if (id !== null && before !== null) await updatePerson(db, id, { before, after }, actor, now)
      return plan
    })
  } catch (error) {
    if (error instanceof Moved) return null
    throw error
  }
}

/** Someone was added from elsewhere meanwhile; rolls everything back. */
class Moved extends Error {}

async function everyone(db: pg.PoolClient): Promise<(KnownPerson & { id: string })[]> {
  const { rows } = await db.query<{
    id: string
    email: string
    name: string
    zone: string
    hasLeft: boolean
    roles: { role: string; place: string }[]
  }>(
    `select id, email, name, zone, left_at is not null as "hasLeft",
       coalesce((select json_agg(json_build_object('role', role, 'place', place))
         from person_role where person_id = person.id), '[]') as roles
     from person order by email`,
  )
  return rows.map(({ roles, ...one }) => ({ ...one, roles: toRoles(sortByPlace(roles)) }))
}
