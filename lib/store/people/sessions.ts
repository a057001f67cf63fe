import { randomUUID } from 'node:crypto'
import type pg from 'pg'
import type { Actor, AuditLine } from '../scope/audit'
import { getPrisma, type Transaction, transact } from '../scope/prisma'
import { command } from '../scope/statement'
import { findDatabaseFault } from '../scope/unavailable'

const MINUTE = 60_000

/** A session of a person in one browser. Times in ms UTC. */
export interface ActiveSession {
  id: string
  /** Network address at sign-in, if known. */
  address: string | null
  /** User agent. */
  browser: string
  sinceAt: number
  seenAt: number
}

/** A person's active sessions, last seen first. `now` in ms UTC. */
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
 * Makes a session and records the sign-in, with its method, in one transaction. Null if the person has left or is
 * unknown.
 */
export async function makeSession(
  authPool: pg.Pool,
  session: NewSession,
  way: string,
): Promise<(NewSession & { id: string }) | null> {
  const made = { id: randomUUID(), ...session }
  const { userId, ipAddress, createdAt } = session
  return transact(authPool, async (db, audit) => {
    // A shared lock: whoever ends the person's access meanwhile waits, then ends this session as well.
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

// Passes over a session that someone is ending: a reader waits for no writer.
const RECORD_SEEN = command(
  `update session set updated_at = $2 where id =
     (select id from session where id = $1 and updated_at < $3 for update skip locked)`,
)

/** Notes, to the minute, that a session was seen at `now` (ms UTC); not while the database takes no writes. */
export async function recordSeen(authPool: pg.Pool, sessionId: string, now: number): Promise<void> {
  try {
    await RECORD_SEEN.run(authPool, [sessionId, new Date(now), new Date(now - MINUTE)])
  } catch (error) {
    // Whoever may read goes on reading.
    const fault = findDatabaseFault(error)
    if (fault !== 'read-only' && fault !== 'full') throw error
  }
}

const PING = command('select')

/**
 * Throws the database's own error if it is unavailable. The sign-in library hides why it failed, or mistakes a lost
 * database for someone who is not signed in.
 */
export async function assertDatabaseAnswers(authPool: pg.Pool): Promise<void> {
  await PING.run(authPool)
}

/** Which of a person's sessions to end. */
export type SessionSelection = { id: string } | { allBut: string } | 'all'

/**
 * Deletes sessions of a person; another person's session counts as unknown.
 * @returns a line for the audit log for each
 */
export async function deleteSessions(
  db: Transaction,
  personId: string,
  which: SessionSelection,
  what: 'ended a session' | 'signed out' = 'ended a session',
): Promise<AuditLine[]> {
  // A concurrent call waits here and then finds the session gone, so each end is recorded once.
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

/**
 * Ends sessions of a person and records each, in one transaction.
 * @returns how many were ended.
 */
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

const PRUNE_CHALLENGES = command('delete from verification where expires_at < $1')

/** Deletes the challenges of passkeys that are over at `now` (ms UTC). Anyone may cause them, and most are never answered. */
export async function pruneChallenges(authPool: pg.Pool, now: number): Promise<void> {
  await PRUNE_CHALLENGES.run(authPool, [new Date(now)])
}

export interface ListedPasskey {
  id: string
  name: string | null
  sinceAt: number
}

/** A person's passkeys, oldest first. Times in ms UTC. */
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

/** Deletes a passkey of a person and records it; another person's passkey counts as unknown. `now` in ms UTC. */
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
    // A concurrent call waits in this statement and deletes none.
    const { count } = await db.passkey.deleteMany({ where: one })
    if (before && count === 1) audit(actor, now, { what: 'removed a passkey', subject: personId, before })
  })
}
