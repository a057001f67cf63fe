import { PrismaPg } from '@prisma/adapter-pg'
import type pg from 'pg'
import type { Scope } from '@/lib/policy/scope'
import { Prisma, PrismaClient } from '../prisma/client'
import type { Actor, AuditLine } from './audit'
import { formatScope } from './scope'

const clients = new WeakMap<pg.Pool, PrismaClient>()

/**
 * Prisma's client on the connections of a pool, so that it works in UTC and as the pool's role: for sign-in, people,
 * what they prefer, set-up drafts and what is set aside. The rest is SQL: the adapter takes a list that is NULL for an
 * empty one, and joins no transaction of the store's own.
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

/** Has lines of the record written for what someone did at `now` (ms UTC). */
export type Audit = (actor: Actor, now: number, ...lines: AuditLine[]) => void

const LIMITS = {
  // Longer than the pool itself waits for a connection (15 s), so that it is the pool that says what is wrong.
  maxWait: 20_000,
  // A long list of people takes its time, and who waits for its lock as long; Prisma would give up after 5 s.
  timeout: 600_000,
}

/**
 * Runs `work` in a transaction of Prisma's client, in which only what `scope` lets see is there where one is given.
 * The lines that `work` gives to `audit` are written in the same transaction, at its end; whatever throws rolls
 * everything back. Prisma has no row locks: they are `$executeRaw` statements.
 */
export function transact<T>(
  pool: pg.Pool,
  work: (db: Transaction, audit: Audit) => Promise<T>,
  scope?: Scope,
): Promise<T> {
  return getPrisma(pool).$transaction(async (db) => {
    if (scope !== undefined)
      await db.$executeRaw`select set_config('holdfast.scope', ${formatScope(scope)}, true)`
    const entries: Prisma.AuditEntryCreateManyInput[] = []
    const result = await work(db, (actor, now, ...lines) => {
      entries.push(...lines.map((line) => toAuditEntry(actor, now, line)))
    })
    // Returns no rows: who writes the record need not be let read it.
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

/** A value as JSON has it: without what is undefined, dates as text. */
export function toJson(value: unknown): Prisma.InputJsonValue {
  return JSON.parse(JSON.stringify(value))
}
