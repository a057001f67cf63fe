import { PrismaPg } from '@prisma/adapter-pg'
import type pg from 'pg'
import type { Scope } from '@/lib/policy/scope'
import { Prisma, PrismaClient } from '../prisma/client'
import type { Actor, AuditLine } from './audit'
import { formatScope } from './scope'
import { getWriters } from './writers'

const clients = new WeakMap<pg.Pool, PrismaClient>()

/**
 * Prisma's client on a pool, so that it works in UTC and as the pool's role: for sign-in, people, preferences, set-up
 * drafts and what is set aside. Everything else is SQL: the adapter takes a NULL list for an empty one, and cannot join
 * the store's own transactions.
 */
export function getPrisma(pool: pg.Pool): PrismaClient {
  const known = clients.get(pool)
  if (known) return known
  const client = new PrismaClient({ adapter: new PrismaPg(pool) })
  clients.set(pool, client)
  return client
}

/** One transaction of Prisma's client. */
export type Transaction = Prisma.TransactionClient

/** Adds lines to the audit log of a transaction. `now` in ms UTC. */
export type Audit = (actor: Actor, now: number, ...lines: AuditLine[]) => void

const LIMITS = {
  // Longer than the pool's own timeout (15 s), so that the pool reports the cause.
  maxWait: 20_000,
  // A long list of people takes time, and its lock makes others wait as long. Prisma's default is 5 s.
  timeout: 600_000,
}

/**
 * Runs `work` in a transaction of Prisma's client on the pool's writers, limited to `scope` if one is given. Lines passed to `audit` are
 * written in the same transaction, at its end. Prisma has no row locks; use `$executeRaw` for them.
 */
export function transact<T>(
  pool: pg.Pool,
  work: (db: Transaction, audit: Audit) => Promise<T>,
  scope?: Scope,
): Promise<T> {
  return getPrisma(getWriters(pool)).$transaction(async (db) => {
    if (scope !== undefined)
      await db.$executeRaw`select set_config('holdfast.scope', ${formatScope(scope)}, true)`
    const entries: Prisma.AuditEntryCreateManyInput[] = []
    const result = await work(db, (actor, now, ...lines) => {
      entries.push(...lines.map((line) => toAuditEntry(actor, now, line)))
    })
    // Returns no rows: the role may append to the audit log without the right to read it.
    if (entries.length > 0) await db.auditEntry.createMany({ data: entries })
    return result
  }, LIMITS)
}

function toAuditEntry(actor: Actor, now: number, line: AuditLine): Prisma.AuditEntryCreateManyInput {
  const json = (value: unknown) => (value === undefined || value === null ? Prisma.DbNull : toJson(value))
  return {
    ...line,
    at: new Date(now),
    who: actor.who,
    whoName: actor.name,
    address: actor.address,
    before: json(line.before),
    after: json(line.after),
  }
}

/** The value as JSON: without undefined fields, dates as text. */
export function toJson(value: unknown): Prisma.InputJsonValue {
  return JSON.parse(JSON.stringify(value))
}
