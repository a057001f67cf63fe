import { randomUUID } from 'node:crypto'
import type pg from 'pg'
import { listRoles, type Roles } from '@/lib/policy/personRoles'
import { type Actor, type AuditLine, record } from '../scope/audit'
import { endSessionsIn } from './endSessions'

/** What is entered of a person. */
export interface PersonEntry {
  email: string
  name: string
  zone: string
  roles: Roles
}

/** The same of someone who is there, and whether they have left the programme and can sign in no more. */
export type KnownPerson = PersonEntry & { hasLeft: boolean }

/** Lets nobody else change people until the transaction ends, or two administrators could each take the other away. */
export async function lockPeople(db: pg.PoolClient): Promise<void> {
  await db.query("select pg_advisory_xact_lock(hashtext('holdfast people'))")
}

/** Adds a person and records it. @returns their id; null where someone has the address. `now` in ms UTC. */
export async function insertPerson(
  db: pg.PoolClient,
  entry: PersonEntry & { hasLeft?: boolean },
  actor: Actor,
  now: number,
): Promise<string | null> {
  const id = randomUUID()
  const { email, name, zone, roles, hasLeft = false } = entry
  const { rowCount } = await db.query(
    `insert into person (id, email, name, zone, email_verified, created_at, updated_at, left_at)
     values ($1, $2, $3, $4, true, $5, $5, case when $6 then $5::timestamptz end)
     on conflict (email) do nothing`,
    [id, email, name, zone, new Date(now), hasLeft],
  )
  if (rowCount === 0) return null
  await setRoles(db, id, roles)
  await record(db, actor, [{ what: 'added a person', subject: id, after: entry }], now)
  return id
}

/** Changes a person and records it; whoever is let go is signed out everywhere. `now` in ms UTC. */
export async function updatePerson(
  db: pg.PoolClient,
  id: string,
  { before, after }: { before: KnownPerson; after: KnownPerson },
  actor: Actor,
  now: number,
): Promise<void> {
  await db.query(
    `update person set email = $2, name = $3, zone = $4, updated_at = $5,
       left_at = case when $6 then coalesce(left_at, $5) end where id = $1`,
    [id, after.email, after.name, after.zone, new Date(now), after.hasLeft],
  )
  await setRoles(db, id, after.roles)
  await record(db, actor, [lineOf(id, before, after)], now)
  // Else they would be signed in again on being let in again.
  if (after.hasLeft) await endSessionsIn(db, id, 'all', actor, now)
}

function lineOf(id: string, before: KnownPerson, after: KnownPerson): AuditLine {
  const what =
    before.hasLeft === after.hasLeft
      ? 'changed a person'
      : after.hasLeft
        ? 'let a person go'
        : 'let a person in again'
  return { what, subject: id, before, after }
}

async function setRoles(db: pg.PoolClient, id: string, roles: Roles): Promise<void> {
  const list = listRoles(roles)
  await db.query('delete from person_role where person_id = $1', [id])
  await db.query(
    `insert into person_role (person_id, role, place)
     select $1, role, place from unnest($2::text[], $3::text[]) as new (role, place)`,
    [id, list.map(({ role }) => role), list.map(({ place }) => place)],
  )
}
