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
  /** The site's own URL. */
  url: string
}

/**
 * The sign-in library on our tables of people, sessions and passkeys. It makes, signs and checks sessions and handles
 * passkeys; sign-in by mail is our own `signInRequest`. Telemetry is off.
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
    // Sessions are looked up on every request and are not extended, so an ended session stops working at once.
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
    // A passkey cannot be guessed, and a limit for each address would lock out who shares it. Turns bound a flood.
    rateLimit: { enabled: false },
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

/** The instance of this process. */
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

/** A session as the library hands it to us, with the method of sign-in. */
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
 * Wraps the library's database adapter so that a session and its audit line are written in one transaction. The
 * library's own hook runs after the session is committed, which is too late.
 */
function withAuditedSessions(
  authPool: pg.Pool,
  createAdapter: (options: BetterAuthOptions) => DBAdapter,
): (options: BetterAuthOptions) => DBAdapter {
  return (options) => {
    const adapter = createAdapter(options)
    const recorded: DBAdapter = {
      ...adapter,
      create: (async (made: Parameters<DBAdapter['create']>[0]) => {
        if (made.model !== 'session') return adapter.create(made)
        const { way, ...session } = newSession.parse(made.data)
        return makeSession(authPool, session, way)
      }) as DBAdapter['create'],
      // The library opens no transaction of its own here; if it asks for one, it must still go through this adapter.
      transaction: (work) => work(recorded),
    }
    return recorded
  }
}
