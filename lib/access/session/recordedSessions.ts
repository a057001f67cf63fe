import type { BetterAuthOptions, DBAdapter } from 'better-auth'
import type pg from 'pg'
import { z } from 'zod'
import { makeSession } from '@/lib/store/people/sessions'
import { WAYS } from './personSession'

const text = z
  .string()
  .nullish()
  .transform((given) => given ?? '')

/** A session as the sign-in library is about to keep it, and by which way its person came in. */
const newSession = z.object({
  userId: z.string(),
  token: z.string(),
  expiresAt: z.date(),
  createdAt: z.date(),
  updatedAt: z.date(),
  ipAddress: text,
  userAgent: text,
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
      create: (async (made: Parameters<DBAdapter['create']>[0]) => {
        if (made.model !== 'session') return adapter.create(made)
        const { way, ...session } = newSession.parse(made.data)
        return makeSession(door, session, way)
      }) as DBAdapter['create'],
      // The library works in no transaction of its own here, and must not get past the above where it asks for one.
      transaction: (work) => work(recorded),
    }
    return recorded
  }
}
