import { randomUUID } from 'node:crypto'
import type pg from 'pg'
import { z } from 'zod'
import { normalizeEmail } from '@/lib/policy/email'
import {
  listRoles,
  type Role,
  type Roles,
  SAMPLE_ROLES,
  sortByPlace,
  toRoles,
} from '@/lib/policy/personRoles'
import type { Actor, AuditLine } from '../scope/audit'
import { type Audit, getPrisma, type Transaction, transact } from '../scope/prisma'
import { statement } from '../scope/statement'
import { getWriterQueue } from '../scope/writers'
import { deleteSessions } from './sessions'

/** The fields of a person that an administrator enters. */
export interface PersonEntry {
  email: string
  name: string
  zone: string
  roles: Roles
}

/** An existing person; someone who has left can no longer sign in. */
export type KnownPerson = PersonEntry & { hasLeft: boolean }

/** A person as the set-up lists them. Instants in ms UTC. */
export interface ListedPerson extends KnownPerson {
  id: string
  createdAt: number
  /** When they left; null if they have not. */
  leftAt: number | null
}

/** Everyone who can or could sign in, by name. */
export async function readPeople(db: Transaction): Promise<ListedPerson[]> {
  const rows = await db.person.findMany({
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
    hasLeft: leftAt !== null,
  }))
}

/** The administrators who have not left, by name. */
export function listAdministrators(authPool: pg.Pool): Promise<{ name: string; email: string }[]> {
  return getPrisma(authPool).person.findMany({
    where: { leftAt: null, roles: { some: { role: 'administrator' } } },
    select: { name: true, email: true },
    orderBy: [{ name: 'asc' }, { email: 'asc' }],
  })
}

/** A person's roles, in the order in which they were given. */
export async function readRoles(authPool: pg.Pool, personId: string): Promise<Roles> {
  const rows = await getPrisma(authPool).personRole.findMany({ where: { personId }, orderBy: { id: 'asc' } })
  return toRoles(rows)
}

/**
 * Runs `work` in a transaction during which nobody else changes people or roles: otherwise two administrators could
 * remove each other, and a read could mix two moments. Changes of this process wait in a queue, not on a connection each.
 * @throws TooManyWriters if the queue is full or the wait too long; nothing is stored then.
 */
export function withPeopleLock<T>(
  authPool: pg.Pool,
  work: (db: Transaction, audit: Audit) => Promise<T>,
): Promise<T> {
  return getWriterQueue(authPool).run(() =>
    transact(authPool, async (db, audit) => {
      await db.$executeRaw`select pg_advisory_xact_lock(hashtext('holdfast people'))`
      return work(db, audit)
    }),
  )
}

/**
 * Ensures that a person with this address has these roles (others stay), and records any change. Someone who had left
 * is readmitted. A new person reads times in `zone`, default UTC. `now` in ms UTC.
 * @returns the person's id.
 */
export async function ensurePerson(
  authPool: pg.Pool,
  person: { email: string; name: string; zone?: string; roles: readonly Role[] },
  actor: Actor,
  now: number,
): Promise<string> {
  const email = normalizeEmail(person.email)
  const { name, zone } = person
  return withPeopleLock(authPool, async (db, audit) => {
    const made = await db.person.createMany({
      data: { id: randomUUID(), email, name, zone, emailVerified: true },
      skipDuplicates: true,
    })
    const { id, leftAt } = await db.person.findUniqueOrThrow({ where: { email } })
    const [isNew, hasLeft] = [made.count === 1, leftAt !== null]
    if (hasLeft)
      await db.person.updateMany({ where: { id }, data: { leftAt: null, updatedAt: new Date(now) } })
    const added = await db.personRole.createManyAndReturn({
      data: person.roles.map(({ role, place }) => ({ personId: id, role, place })),
      skipDuplicates: true,
      select: { role: true, place: true },
    })
    if (isNew || hasLeft || added.length > 0)
      audit(actor, now, {
        what: isNew ? 'entered a person' : 'changed a person',
        subject: id,
        after: { email, ...(isNew ? { name } : {}), added, ...(hasLeft ? { isBack: true } : {}) },
      })
    return id
  })
}

/** Adds a person, and returns the line for the audit log; null if the address is taken. `now` in ms UTC. */
export async function insertPerson(
  db: Transaction,
  entry: PersonEntry & { hasLeft?: boolean },
  now: number,
): Promise<{ id: string; line: AuditLine } | null> {
  const id = randomUUID()
  const { email, name, zone, roles, hasLeft = false } = entry
  const at = new Date(now)
  const made = await db.person.createMany({
    data: {
      ...{ id, email, name, zone, emailVerified: true },
      ...{ createdAt: at, updatedAt: at, leftAt: hasLeft ? at : null },
    },
    skipDuplicates: true,
  })
  if (made.count === 0) return null
  await setRoles(db, id, roles)
  return { id, line: { what: 'added a person', subject: id, after: entry } }
}

/**
 * Changes a person; one who leaves is signed out everywhere. `now` in ms UTC.
 * @returns lines for the audit log
 */
export async function updatePerson(
  db: Transaction,
  id: string,
  { before, after }: { before: KnownPerson; after: KnownPerson },
  now: number,
): Promise<AuditLine[]> {
  const { email, name, zone, hasLeft } = after
  const updatedAt = new Date(now)
  await db.person.updateMany({
    where: { id },
    data: { email, name, zone, updatedAt, ...(hasLeft ? {} : { leftAt: null }) },
  })
  if (hasLeft) await db.person.updateMany({ where: { id, leftAt: null }, data: { leftAt: updatedAt } })
  await setRoles(db, id, after.roles)
  // A session that stays would work again if the person is readmitted.
  const ended = hasLeft ? await deleteSessions(db, id, 'all') : []
  return [toAuditLine(id, before, after), ...ended]
}

function toAuditLine(id: string, before: KnownPerson, after: KnownPerson): AuditLine {
  const what =
    before.hasLeft === after.hasLeft
      ? 'changed a person'
      : after.hasLeft
        ? 'let a person go'
        : 'let a person in again'
  return { what, subject: id, before, after }
}

async function setRoles(db: Transaction, personId: string, roles: Roles): Promise<void> {
  await db.personRole.deleteMany({ where: { personId } })
  await db.personRole.createMany({ data: listRoles(roles).map((role) => ({ personId, ...role })) })
}

/** Saves the IANA zone in which a person reads times, and records a change. `now` in ms UTC. */
export async function setOwnZone(
  authPool: pg.Pool,
  personId: string,
  zone: string,
  actor: Actor,
  now: number,
): Promise<void> {
  await transact(authPool, async (db, audit) => {
    // Locked until the end, so that the zone recorded as the old one is the one replaced.
    await db.$executeRaw`select from person where id = ${personId} for update`
    const before = await db.person.findUnique({ where: { id: personId }, select: { zone: true } })
    if (!before || before.zone === zone) return
    await db.person.updateMany({ where: { id: personId }, data: { zone, updatedAt: new Date(now) } })
    audit(actor, now, { what: 'chose a zone', subject: personId, before, after: { zone } })
  })
}

const COLLEAGUES = statement(
  z.object({ id: z.string(), name: z.string() }),
  `select distinct person.id, name from person_role own
     join person_role other on other.role = own.role and other.place = own.place and other.person_id <> own.person_id
     join person on person.id = other.person_id
   where own.person_id = $1 and own.role = any($2) and left_at is null order by name, id`,
)

/** Possible stand-ins for a person: those at one of the same plants or laboratories, by name. */
export function listColleagues(authPool: pg.Pool, personId: string): Promise<{ id: string; name: string }[]> {
  return COLLEAGUES.all(authPool, [personId, SAMPLE_ROLES])
}

const NAMES = statement(
  z.object({ reporter: z.string(), name: z.string() }),
  `select 'person ' || id as reporter, name from person where id = any($1)
   union all select 'key ' || id, name from api_key where id = any($2)`,
)

/** Names of reporters, by "person ID" or "key ID"; unknown ones are absent. */
export async function readReporterNames(
  authPool: pg.Pool,
  reporters: Iterable<string | null>,
): Promise<Map<string, string>> {
  const known = [...new Set(reporters)].filter((one) => one !== null)
  if (known.length === 0) return new Map()
  const rows = await NAMES.all(authPool, [pickIds(known, 'person '), pickIds(known, 'key ')])
  return new Map(rows.map(({ reporter, name }) => [reporter, name]))
}

function pickIds(reporters: readonly string[], what: string): string[] {
  return reporters.filter((one) => one.startsWith(what)).map((one) => one.slice(what.length))
}
