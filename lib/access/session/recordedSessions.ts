import { randomUUID } from 'node:crypto'
import type { BetterAuthOptions, DBAdapter, Session } from 'better-auth'
import type pg from 'pg'
import { z } from 'zod'
import { record } from '@/lib/store/scope/audit'
import { inTransaction } from '@/lib/store/scope/transaction'
import { WAYS } from './personSession'

/** A session as the sign-in library is about to keep it, and by which way its person came in. */
const newSession = z.object({
  userId: z.string(),
  token: z.string(),
  expiresAt: z.date(),
  createdAt: z.date(),
  updatedAt: z.date(),
  ipAddress: z.string().nullish(),
  userAgent: z.string().nullish(),
  way: z.enum(WAYS).default('link'),
})

/**
 * The sign-in library's way to the database, in which a session is made together with its line in the record: both
 * are there or neither. Its own hook after the making comes too late for that, since the session works by then.
 * `door` works as `holdfast_door`.
 */
export function recordedSessions(
  door: pg.Pool,
  adapterOf: (options: BetterAuthOptions) => DBAdapter,
): (options: BetterAuthOptions) => DBAdapter {
  return (options) => {
    const adapter = adapterOf(options)
    const recorded: DBAdapter = {
      ...adapter,
      create: (async (made: Parameters<DBAdapter['create']>[0]) =>
        made.model === 'session'
          ? makeSession(door, newSession.parse(made.data))
          : adapter.create(made)) as DBAdapter['create'],
      // The library works in no transaction of its own here, and must not get past the above where it asks for one.
      transaction: (work) => work(recorded),
    }
    return recorded
  }
}

/** Null where the person has left, or is not there. */
async function makeSession(door: pg.Pool, session: z.infer<typeof newSession>): Promise<Session | null> {
  const { way, userId, token, expiresAt, createdAt, updatedAt } = session
  const [id, ipAddress, userAgent] = [randomUUID(), session.ipAddress ?? '', session.userAgent ?? '']
  return inTransaction(door, async (client) => {
    // Shared, so that whoever lets the person go meanwhile waits, and then ends this session with the others.
    const { rows } = await client.query<{ name: string }>(
      'select name from person where id = $1 and left_at is null for share',
      [userId],
    )
    if (!rows[0]) return null
    await client.query(
      `insert into session (id, token, person_id, expires_at, ip_address, user_agent, created_at, updated_at)
       values ($1, $2, $3, $4, $5, $6, $7, $8)`,
      [id, token, userId, expiresAt, ipAddress, userAgent, createdAt, updatedAt],
    )
    const actor = { who: `person ${userId}`, name: rows[0].name, address: ipAddress || null }
    const line = { what: 'signed in', subject: userId, after: { by: way, session: id } }
    await record(client, actor, [line], createdAt.getTime())
    return { id, token, userId, expiresAt, ipAddress, userAgent, createdAt, updatedAt }
  })
}
