import { randomUUID } from 'node:crypto'
import type { Actor, AuditLine } from '@/lib/store/audit'
import { record } from '@/lib/store/audit'
import { prismaOf } from '@/lib/store/prismaOf'
import { sharedDoor } from '@/lib/store/sharedPool'
import { inTransaction } from '@/lib/store/transaction'
import { endSessionsIn } from './endSessions'
import type { Roles } from './principal'

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

/** What is entered of a person. */
export interface PersonEntry {
  email: string
  name: string
  zone: string
  roles: Roles
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
    roles: rolesOf(roles),
    createdAt: createdAt.getTime(),
    leftAt: leftAt?.getTime() ?? null,
  }))
}

function rolesOf(rows: readonly { role: string; place: string }[]): Roles {
  const places = (role: string) =>
    rows
      .filter((row) => row.role === role)
      .map(({ place }) => place)
      .sort()
  return {
    isAdministrator: rows.some(({ role }) => role === 'administrator'),
    isReader: rows.some(({ role }) => role === 'reader'),
    plants: places('plant contact'),
    laboratories: places('laboratory desk'),
  }
}

/** Adds a person. @returns their id, or a sentence that says why not */
export async function addPerson(
  entry: PersonEntry,
  actor: Actor,
  now: number,
): Promise<{ id: string } | { problem: string }> {
  const id = randomUUID()
  return changing(async (db) => {
    const { rowCount } = await db.query(
      `insert into person (id, email, name, zone, email_verified, created_at, updated_at)
       values ($1, $2, $3, $4, true, $5, $5)
       on conflict (email) do nothing`,
      [id, entry.email, entry.name, entry.zone, new Date(now)],
    )
    if (rowCount === 0) return { problem: `${entry.email} is there already; change that person instead.` }
    await setRoles(db, id, entry.roles)
    await record(db, actor, [{ what: 'added a person', subject: id, after: entry }], now)
    return { id }
  })
}

/** Changes a person, or (`hasLeft`) lets them sign in no more. Refused where no administrator would be left. */
export async function changePerson(
  id: string,
  entry: PersonEntry & { hasLeft: boolean },
  actor: Actor,
  now: number,
): Promise<{ id: string } | { problem: string }> {
  return changing(async (db) => {
    // One at a time, or two administrators could each take the other away.
    await db.query("select pg_advisory_xact_lock(hashtext('holdfast people'))")
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
    await db.query(
      `update person set email = $2, name = $3, zone = $4, updated_at = $5,
         left_at = case when $6 then coalesce(left_at, $5) end where id = $1`,
      [id, entry.email, entry.name, entry.zone, new Date(now), entry.hasLeft],
    )
    await setRoles(db, id, entry.roles)
    await record(db, actor, [lineOf(id, before, entry)], now)
    // Else they would be signed in again on being let in again.
    if (entry.hasLeft) await endSessionsIn(db, id, 'all', actor, now)
    return { id }
  })
}

type Known = PersonEntry & { hasLeft: boolean }

function lineOf(id: string, before: Known, after: Known): AuditLine {
  const what =
    before.hasLeft === after.hasLeft
      ? 'changed a person'
      : after.hasLeft
        ? 'let a person go'
        : 'let a person in again'
  return { what, subject: id, before, after }
}

type Db = Parameters<Parameters<typeof inTransaction>[1]>[0]

function changing<T>(work: (db: Db) => Promise<T>): Promise<T> {
  return inTransaction(sharedDoor(), work)
}

async function personIn(db: Db, id: string): Promise<Known | undefined> {
  const { rows } = await db.query<{ email: string; name: string; zone: string; hasLeft: boolean }>(
    'select email, name, zone, left_at is not null as "hasLeft" from person where id = $1',
    [id],
  )
  const roles = await db.query<{ role: string; place: string }>(
    'select role, place from person_role where person_id = $1',
    [id],
  )
  return rows[0] && { ...rows[0], roles: rolesOf(roles.rows) }
}

async function setRoles(db: Db, id: string, roles: Roles): Promise<void> {
  const rows: [string, string][] = [
    ...(roles.isAdministrator ? [['administrator', ''] as [string, string]] : []),
    ...(roles.isReader ? [['reader', ''] as [string, string]] : []),
    ...roles.plants.map((place): [string, string] => ['plant contact', place]),
    ...roles.laboratories.map((place): [string, string] => ['laboratory desk', place]),
  ]
  await db.query('delete from person_role where person_id = $1', [id])
  await db.query(
    `insert into person_role (person_id, role, place)
     select $1, role, place from unnest($2::text[], $3::text[]) as new (role, place)`,
    [id, rows.map(([role]) => role), rows.map(([, place]) => place)],
  )
}
