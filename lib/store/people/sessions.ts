import { randomUUID } from 'node:crypto'
import type pg from 'pg'
import type { Actor, AuditLine } from '../scope/audit'
import { getPrisma, type Transaction, transact } from '../scope/prisma'
import { command } from '../scope/statement'

const MINUTE = 60_000

/** One browser on which a person is signed in. Times in ms UTC. */
export interface ActiveSession {
  id: string
  /** Network address from which it was begun, if it came over one. */
  address: string | null
  /** What the browser calls itself. */
  browser: string
  sinceAt: number
  seenAt: number
}

/** Where a person is signed in now, the latest seen first. */
export async function listSessions(
  authPool: pg.Pool,
  personId: string,
  now: number,
): Promise<ActiveSession[]> {
  const rows = await getPrisma(authPool).session.findMany({
    where: { userId: personId, expiresAt: { gt: new Date(now) } },
    orderBy: [{ updatedAt: 'desc' }, { id: 'asc' }],
  })
  return rows.map(({ id, ipAddress, userAgent, createdAt, updatedAt }) => ({
    id,
    address: ipAddress || null,
    browser: userAgent ?? '',
    sinceAt: createdAt.getTime(),
    seenAt: updatedAt.getTime(),
  }))
}

/** A session that is to be made: whose, its secret, and what is known of the browser. */
export interface NewSession {
  userId: string
  token: string
  expiresAt: Date
  createdAt: Date
  updatedAt: Date
  ipAddress: string
  userAgent: string
}

/**
 * Makes a session and records, in one transaction, by which way its person came in. Null where the person has left, or
 * is not there.
 */
export async function makeSession(
  authPool: pg.Pool,
  session: NewSession,
  way: string,
): Promise<(NewSession & { id: string }) | null> {
  const made = { id: randomUUID(), ...session }
  const { userId, ipAddress, createdAt } = session
  return transact(authPool, async (db, audit) => {
    // Shared, so that whoever lets the person go meanwhile waits, and then ends this session with the others.
    await db.$executeRaw`select from person where id = ${userId} for share`
    const person = await db.person.findFirst({ where: { id: userId, leftAt: null }, select: { name: true } })
    if (!person) return null
    await db.session.createMany({ data: made })
    const actor = { who: `person ${userId}`, name: person.name, address: ipAddress || null }
    const line = { what: 'signed in', subject: userId, after: { by: way, session: made.id } }
    audit(actor, createdAt.getTime(), line)
    return made
  })
}

/** Notes, to the minute, that a session was seen at `now` (ms UTC). */
export async function recordSeen(authPool: pg.Pool, sessionId: string, now: number): Promise<void> {
  await getPrisma(authPool).session.updateMany({
    where: { id: sessionId, updatedAt: { lt: new Date(now - MINUTE) } },
    data: { updatedAt: new Date(now) },
  })
}

const PING = command('select')

/**
 * Fails as the database does, if it does. The sign-in library does not say why it failed, or takes a database that is
 * lost for someone who is not signed in.
 */
export async function assertDatabaseAnswers(authPool: pg.Pool): Promise<void> {
  await PING.run(authPool)
}

/** Which sessions of a person: one, all but one, or every one. */
export type SessionSelection = { id: string } | { allBut: string } | 'all'

/** Ends sessions of a person. Another's session is as one that is not there. @returns a line for the record of each */
export async function deleteSessions(
  db: Transaction,
  personId: string,
  which: SessionSelection,
  what: 'ended a session' | 'signed out' = 'ended a session',
): Promise<AuditLine[]> {
  // Of two who end the same session, the second waits and finds it gone: each is on record once.
  await db.$executeRaw`select from session where person_id = ${personId} order by id for update`
  const id = which === 'all' ? undefined : 'id' in which ? which.id : { not: which.allBut }
  const ended = await db.session.findMany({ where: { userId: personId, id }, orderBy: { createdAt: 'asc' } })
  await db.session.deleteMany({ where: { id: { in: ended.map((session) => session.id) } } })
  return ended.map(({ id: session, ipAddress, userAgent, createdAt }) => ({
    what,
    subject: personId,
    before: {
      session,
      address: ipAddress || null,
      browser: userAgent ?? '',
      since: createdAt.toISOString(),
    },
  }))
}

/** Ends sessions of a person, and records each in the same transaction. @returns how many were ended. */
export async function endSessions(
  authPool: pg.Pool,
  personId: string,
  which: SessionSelection,
  actor: Actor,
  now: number,
  what?: Parameters<typeof deleteSessions>[3],
): Promise<number> {
  return transact(authPool, async (db, audit) => {
    const lines = await deleteSessions(db, personId, which, what)
    audit(actor, now, ...lines)
    return lines.length
  })
}

/** A passkey of a person. */
export interface ListedPasskey {
  id: string
  name: string | null
  sinceAt: number
}

/** The passkeys of a person, the oldest first. Times in ms UTC. */
export async function listPasskeys(authPool: pg.Pool, personId: string): Promise<ListedPasskey[]> {
  const rows = await getPrisma(authPool).passkey.findMany({
    where: { userId: personId },
    orderBy: [{ createdAt: 'asc' }, { id: 'asc' }],
  })
  return rows.map(({ id, name, createdAt }) => ({
    id,
    name: name || null,
    sinceAt: createdAt?.getTime() ?? 0,
  }))
}

/** Takes a passkey of a person away, and records it. Another's is as one that is not there. `now` in ms UTC. */
export async function removePasskey(
  authPool: pg.Pool,
  personId: string,
  id: string,
  actor: Actor,
  now: number,
): Promise<void> {
  await transact(authPool, async (db, audit) => {
    const one = { id, userId: personId }
    const before = await db.passkey.findFirst({ where: one, select: { name: true } })
    // Of two who remove it at once, the second waits in this statement and removes none.
    const { count } = await db.passkey.deleteMany({ where: one })
    if (before && count === 1) audit(actor, now, { what: 'removed a passkey', subject: personId, before })
  })
}
