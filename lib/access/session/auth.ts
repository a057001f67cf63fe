import { passkey } from '@better-auth/passkey'
import type { BetterAuthOptions, DBAdapter } from 'better-auth'
import { prismaAdapter } from 'better-auth/adapters/prisma'
import { betterAuth } from 'better-auth/minimal'
import type pg from 'pg'
import { z } from 'zod'
import { makeSession } from '@/lib/store/people/sessions'
import { appendToAuditLog } from '@/lib/store/scope/audit'
import { getPrisma } from '@/lib/store/scope/prisma'
import { getAuthPool } from '@/lib/store/scope/sharedPool'
import { getSignInSecret, getSiteUrl } from '@/lib/store/site'
import { getNetworkAddress, SOURCE_HEADER } from './actor'
import { getSignInMethod, personSession, SIGN_IN_METHODS } from './personSession'

const SESSION_DAYS = 30

export interface AuthSettings {
  /** Works as `holdfast_door`. */
  authPool: pg.Pool
  secret: string
  /** The site's own address. */
  url: string
}

/**
 * The sign-in library on the tables of people, sessions and passkeys. It makes, checks and signs sessions and speaks
 * with passkeys; who may sign in by mail is our own `signInRequest`. It sends no word home.
 */
export function makeAuth({ authPool, secret, url }: AuthSettings) {
  return betterAuth({
    appName: 'Holdfast',
    baseURL: url,
    basePath: '/api/auth',
    secret,
    database: withAuditedSessions(authPool, prismaAdapter(getPrisma(authPool), { provider: 'postgresql' })),
    telemetry: { enabled: false },
    user: {
      modelName: 'person',
      additionalFields: {
        zone: { type: 'string', required: false, input: false },
        leftAt: { type: 'date', required: false, input: false },
      },
    },
    // A session is looked up each time and lasts from sign-in on, so that one that is ended is nobody's at once.
    session: {
      expiresIn: SESSION_DAYS * 86_400,
      disableSessionRefresh: true,
      cookieCache: { enabled: false },
    },
    advanced: {
      cookiePrefix: 'holdfast',
      useSecureCookies: url.startsWith('https:'),
      defaultCookieAttributes: { httpOnly: true, sameSite: 'lax' },
      ipAddress: { ipAddressHeaders: [SOURCE_HEADER] },
    },
    rateLimit: { enabled: true, window: 60, max: 60 },
    databaseHooks: {
      session: {
        create: {
          before: async (session, context) => ({ data: { ...session, way: getSignInMethod(context) } }),
        },
      },
    },
    plugins: [
      passkey({
        rpName: 'Holdfast',
        origin: url,
        registration: {
          async afterVerification({ ctx, user }) {
            const address = (ctx.headers && getNetworkAddress({ headers: ctx.headers })) ?? null
            const actor = { who: `person ${user.id}`, name: user.name, address }
            await appendToAuditLog(
              authPool,
              actor,
              [{ what: 'added a passkey', subject: user.id }],
              Date.now(),
            )
          },
        },
      }),
      personSession(),
    ],
  })
}

export type Auth = ReturnType<typeof makeAuth>

const shared = globalThis as typeof globalThis & { holdfastAuth?: Auth }

/** The one of this process. */
export function getAuth(): Auth {
  shared.holdfastAuth ??= makeAuth({
    authPool: getAuthPool(),
    secret: getSignInSecret(),
    url: getSiteUrl(),
  })
  return shared.holdfastAuth
}

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
  way: z.enum(SIGN_IN_METHODS).default('link'),
})

/**
 * The sign-in library's way to the database, in which a session is made together with its line in the record: both
 * are there or neither. Its own hook after the making comes too late for that, since the session works by then.
 * `authPool` works as `holdfast_door`.
 */
function withAuditedSessions(
  authPool: pg.Pool,
  adapterOf: (options: BetterAuthOptions) => DBAdapter,
): (options: BetterAuthOptions) => DBAdapter {
  return (options) => {
    const adapter = adapterOf(options)
    const recorded: DBAdapter = {
      ...adapter,
      create: (async (made: Parameters<DBAdapter['create']>[0]) => {
        if (made.model !== 'session') return adapter.create(made)
        const { way, ...session } = newSession.parse(made.data)
        return makeSession(authPool, session, way)
      }) as DBAdapter['create'],
      // The library works in no transaction of its own here, and must not get past the above where it asks for one.
      transaction: (work) => work(recorded),
    }
    return recorded
  }
}
