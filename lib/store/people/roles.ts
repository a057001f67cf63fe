import type pg from 'pg'
import { type Roles, toRoles } from '@/lib/policy/personRoles'

/** What a person is, in the order in which it was given. */
export async function rolesOf(door: pg.Pool, personId: string): Promise<Roles> {
  const { rows } = await door.query<{ role: string; place: string }>(
    'select role, place from person_role where person_id = $1 order by id',
    [personId],
  )
  return toRoles(rows)
}
