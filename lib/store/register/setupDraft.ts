import { randomBytes } from 'node:crypto'
import type pg from 'pg'
import { DAY } from '@/lib/hold/zone'
import type { Actor } from '../scope/audit'
import { toJson, transact } from '../scope/prisma'

const DRAFT_LIFETIME_MS = DAY

/** Stores a form until it is confirmed. `now` in ms UTC. @returns an id that only the actor can use */
export async function saveDraft(pool: pg.Pool, actor: Actor, content: unknown, now: number): Promise<string> {
  const id = randomBytes(12).toString('base64url')
  await transact(
    pool,
    async (db) => {
      await db.setupDraft.deleteMany({ where: { madeAt: { lt: new Date(now - DRAFT_LIFETIME_MS) } } })
      const draft = { id, madeBy: actor.who, madeAt: new Date(now), content: toJson(content) }
      await db.setupDraft.createMany({ data: draft })
    },
    'all',
  )
  return id
}

/** The actor's draft of this id; null if there is none, or no longer. */
export async function findDraft(pool: pg.Pool, actor: Actor, id: string): Promise<unknown> {
  const where = { id, madeBy: actor.who }
  const draft = await transact(pool, (db) => db.setupDraft.findFirst({ where }), 'all')
  return draft?.content ?? null
}

export async function deleteDraft(pool: pg.Pool, actor: Actor, id: string): Promise<void> {
  const where = { id, madeBy: actor.who }
  await transact(pool, (db) => db.setupDraft.deleteMany({ where }), 'all')
}
