import type pg from 'pg'
import { type Roles, sortByPlace, toRoles } from '@/lib/policy/personRoles'
import {
  insertPerson,
  type KnownPerson,
  lockPeople,
  type PersonEntry,
  updatePerson,
} from '@/lib/store/people/personRows'
import type { Actor } from '@/lib/store/scope/audit'
import { prismaOf } from '@/lib/store/scope/prismaOf'
import { sharedDoor } from '@/lib/store/scope/sharedPool'
import { inTransaction } from '@/lib/store/scope/transaction'

/** A person as the set-up lists them. Instants in ms UTC. */
export interface Listed {
  id: string
  email: string
  name: string
  zone: string
  roles: Roles
  createdAt: number
  /** When they left the programme and could sign in no more; null while they can. */
  leftAt: number | null
}

/** Everyone who can sign in or could, by name. */
export async function people(): Promise<Listed[]> {
  const rows = await prismaOf(sharedDoor()).person.findMany({
    include: { roles: true },
    orderBy: [{ name: 'asc' }, { email: 'asc' }],
  })
  return rows.map(({ id, email, name, zone, roles, createdAt, leftAt }) => ({
    id,
    email,
    name,
    zone,
    roles: toRoles(sortByPlace(roles)),
    createdAt: createdAt.getTime(),
    leftAt: leftAt?.getTime() ?? null,
  }))
}

/** Adds a person. @returns their id, or a sentence that says why not */
export async function addPerson(
  entry: PersonEntry,
  actor: Actor,
  now: number,
): Promise<{ id: string } | { problem: string }> {
  const id = await inTransaction(sharedDoor(), (db) => insertPerson(db, entry, actor, now))
  return id === null ? { problem: `${entry.email} is there already; change that person instead.` } : { id }
}

/** Changes a person, or (`hasLeft`) lets them sign in no more. Refused where no administrator would be left. */
export async function changePerson(
  id: string,
  entry: KnownPerson,
  actor: Actor,
  now: number,
): Promise<{ id: string } | { problem: string }> {
  return inTransaction(sharedDoor(), async (db) => {
    await lockPeople(db)
    const before = (await personIn(db, id)) ?? null
    if (!before) return { problem: 'This person is not there any more.' }
    const { rows } = await db.query(
      `select 1 from person_role join person on person.id = person_id
       where role = 'administrator' and left_at is null and person.id <> $1 limit 1`,
      [id],
    )
    const staysAdministrator = entry.roles.isAdministrator && !entry.hasLeft
    if (before.roles.isAdministrator && !before.hasLeft && !staysAdministrator && rows.length === 0)
      return { problem: 'This is the last administrator; make someone else one first.' }
    const taken = await db.query('select 1 from person where email = $1 and id <> $2', [entry.email, id])
    if (taken.rowCount !== 0) return { problem: `${entry.email} belongs to someone else.` }
    await updatePerson(db, id, { before, after: entry }, actor, now)
    return { id }
  })
}

async function personIn(db: pg.PoolClient, id: string): Promise<KnownPerson | undefined> {
  const { rows } = await db.query<{ email: string; name: string; zone: string; hasLeft: boolean }>(
    'select email, name, zone, left_at is not null as "hasLeft" from person where id = $1',
    [id],
  )
  const roles = await db.query<{ role: string; place: string }>(
    'select role, place from person_role where person_id = $1',
    [id],
  )
  return rows[0] && { ...rows[0], roles: toRoles(sortByPlace(roles.rows)) }
}
