import { randomBytes } from 'node:crypto'
import type pg from 'pg'
import { DAY } from '@/lib/hold/zone'
import type { Actor } from '../scope/audit'
import { instantText } from '../scope/instantText'
import { inScope } from '../scope/scope'

/** Drafts are thrown away after a day. */
const KEPT_MS = DAY

/** Keeps what an actor has entered until it is confirmed. @returns an id that only they can use */
export async function keepDraft(pool: pg.Pool, actor: Actor, content: unknown, now: number): Promise<string> {
  const id = randomBytes(12).toString('base64url')
  await inScope(pool, 'all', async (client) => {
    await client.query('delete from setup_draft where made_at < $1', [new Date(now - KEPT_MS)])
    await client.query('insert into setup_draft (id, made_by, made_at, content) values ($1, $2, $3, $4)', [
      id,
      actor.who,
      instantText(now),
      JSON.stringify(content),
    ])
  })
  return id
}

/** What the actor entered under this id; null where there is nothing of theirs, or no longer. */
export async function draftOf(pool: pg.Pool, actor: Actor, id: string): Promise<unknown> {
  return inScope(pool, 'all', async (client) => {
    const { rows } = await client.query<{ content: unknown }>(
      'select content from setup_draft where id = $1 and made_by = $2',
      [id, actor.who],
    )
    return rows[0]?.content ?? null
  })
}

/** Throws away a draft that has been confirmed or given up. */
export async function dropDraft(pool: pg.Pool, actor: Actor, id: string): Promise<void> {
  await inScope(pool, 'all', (client) =>
    client.query('delete from setup_draft where id = $1 and made_by = $2', [id, actor.who]),
  )
}
