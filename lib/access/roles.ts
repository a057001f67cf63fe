import type pg from 'pg'
import type { Roles } from './principal'

/** What a person is. */
export async function rolesOf(door: pg.Pool, personId: string): Promise<Roles> {
  const { rows } = await door.query<{ role: string; place: string }>(
    'select role, place from person_role where person_id = $1 order by id',
    [personId],
  )
  const places = (role: string) => rows.filter((row) => row.role === role).map(({ place }) => place)
  return {
    isAdministrator: places('administrator').length > 0,
    isReader: places('reader').length > 0,
    plants: places('plant contact'),
    laboratories: places('laboratory desk'),
  }
}
