import type pg from 'pg'
import { currentRegister } from '@/lib/store/currentRegister'
import { inScope } from '@/lib/store/scope'
import { ensurePerson, type Role } from './people'

/** The four that a demo can be tried as. */
export const DEMO_PARTS = ['administrator', 'plant contact', 'laboratory desk', 'reader'] as const
export type DemoPart = (typeof DEMO_PARTS)[number]

const NAMES: Record<DemoPart, string> = {
  administrator: 'Demo administrator',
  'plant contact': 'Demo plant contact',
  'laboratory desk': 'Demo laboratory desk',
  reader: 'Demo reader',
}

/** Whether the database is the demo's. `pool` works as `holdfast_app`. */
export async function isDemoDatabase(pool: pg.Pool): Promise<boolean> {
  return inScope(pool, 'all', async (client) => {
    const { rowCount } = await client.query("select from mark where name = 'demo'")
    return rowCount === 1
  })
}

/**
 * The id of the demo's person for a part, made if there is none; null on a database that is not a demo. A plant's
 * contact and a laboratory's desk are of the place with most samples under way. `now` in ms UTC.
 */
export async function demoPerson(
  pool: pg.Pool,
  door: pg.Pool,
  part: DemoPart,
  now: number,
): Promise<string | null> {
  if (!(await isDemoDatabase(pool))) return null
  const found = await roleOf(pool, part)
  const email = `${part.replace(' ', '-')}@demo.invalid`
  const actor = { who: 'nobody', name: 'The demo’s sign-in', address: null }
  return (
    found && ensurePerson(door, { email, name: NAMES[part], zone: found.zone, roles: [found] }, actor, now)
  )
}

/** What a part is of, and the zone there; null where there is no place for it. */
async function roleOf(pool: pg.Pool, part: DemoPart): Promise<(Role & { zone: string }) | null> {
  if (part === 'administrator' || part === 'reader') return { role: part, place: '', zone: 'UTC' }
  const column = part === 'plant contact' ? 'plant' : 'laboratory'
  return inScope(pool, 'all', async (client) => {
    const { rows } = await client.query<{ place: string }>(
      `select ${column} as place from sample where settled is null group by 1 order by count(*) desc, 1 limit 1`,
    )
    if (!rows[0]) return null
    const { place } = rows[0]
    const zone = (await currentRegister(pool, client)).zoneOfPlace(place) ?? 'UTC'
    return { role: part, place, zone }
  })
}
