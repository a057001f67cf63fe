import type pg from 'pg'
import { z } from 'zod'
import { ROLES, type Role, type RoleName } from '@/lib/policy/personRoles'
import { getRegister } from '../ledger/currentRegister'
import { withScope } from '../scope/scope'
import { command, statement } from '../scope/statement'
import { ensurePerson } from './people'

const IS_DEMO = command("select from app_metadata where name = 'demo'")

export async function isDemoDatabase(pool: pg.Pool): Promise<boolean> {
  return (await withScope(pool, 'all', (client) => IS_DEMO.run(client))) === 1
}

/**
 * The id of the demo's person for a role, created if missing; null if the database is not a demo. A contact or a desk
 * belongs to the place with the most open samples. `now` in ms UTC.
 */
export async function ensureDemoPerson(
  pool: pg.Pool,
  authPool: pg.Pool,
  role: RoleName,
  now: number,
): Promise<string | null> {
  if (!(await isDemoDatabase(pool))) return null
  const found = await findDemoRole(pool, role)
  const email = `${role.replace(' ', '-')}@demo.invalid`
  const actor = { who: 'nobody', name: 'The demo’s sign-in', address: null }
  const name = `Demo ${role}`
  return found && ensurePerson(authPool, { email, name, zone: found.zone, roles: [found] }, actor, now)
}

const BUSIEST = statement(
  z.object({ place: z.string() }),
  `select case $1 when 'plant' then plant else laboratory end as place
   from sample where settled is null group by 1 order by count(*) desc, 1 limit 1`,
)

/** The role with its place and zone; null if there is no such place. */
async function findDemoRole(pool: pg.Pool, role: RoleName): Promise<(Role & { zone: string }) | null> {
  const { placeKind } = ROLES[role]
  if (placeKind === null) return { role, place: '', zone: 'UTC' }
  return withScope(pool, 'all', async (client) => {
    const busiest = await BUSIEST.first(client, [placeKind])
    if (!busiest) return null
    const { place } = busiest
    const zone = (await getRegister(pool, client)).getZone(place) ?? 'UTC'
    return { role, place, zone }
  })
}
