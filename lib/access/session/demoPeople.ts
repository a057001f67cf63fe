import type pg from 'pg'
import { ROLES, type Role, type RoleName } from '@/lib/policy/personRoles'
import { currentRegister } from '@/lib/store/ledger/currentRegister'
import { ensurePerson } from '@/lib/store/people/people'
import { inScope } from '@/lib/store/scope/scope'

/** Whether the database is the demo's. `pool` works as `holdfast_app`. */
export async function isDemoDatabase(pool: pg.Pool): Promise<boolean> {
  return inScope(pool, 'all', async (client) => {
    const { rowCount } = await client.query("select from mark where name = 'demo'")
    return rowCount === 1
  })
}

/**
 * The id of the demo's person for a role, made if there is none; null on a database that is not a demo. A plant's
 * contact and a laboratory's desk are of the place with most samples under way. `now` in ms UTC.
 */
export async function demoPerson(
  pool: pg.Pool,
  door: pg.Pool,
  role: RoleName,
  now: number,
): Promise<string | null> {
  if (!(await isDemoDatabase(pool))) return null
  const found = await roleOf(pool, role)
  const email = `${role.replace(' ', '-')}@demo.invalid`
  const actor = { who: 'nobody', name: 'The demo’s sign-in', address: null }
  const name = `Demo ${role}`
  return found && ensurePerson(door, { email, name, zone: found.zone, roles: [found] }, actor, now)
}

/** What a role is of, and the zone there; null where there is no place for it. */
async function roleOf(pool: pg.Pool, role: RoleName): Promise<(Role & { zone: string }) | null> {
  const { of } = ROLES[role]
  if (of === null) return { role, place: '', zone: 'UTC' }
  return inScope(pool, 'all', async (client) => {
    const { rows } = await client.query<{ place: string }>(
      `select ${of} as place from sample where settled is null group by 1 order by count(*) desc, 1 limit 1`,
    )
    if (!rows[0]) return null
    const { place } = rows[0]
    const zone = (await currentRegister(pool, client)).zoneOfPlace(place) ?? 'UTC'
    return { role, place, zone }
  })
}
