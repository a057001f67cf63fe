import { randomBytes } from 'node:crypto'
import type pg from 'pg'
import type { BrowserContext } from 'playwright-core'
import { makeAuth } from '@/lib/access/session/auth'
import { listRoles, NO_ROLES, type Roles } from '@/lib/policy/personRoles'
import { ensurePerson } from '@/lib/store/people/people'
import { getSignInSecret } from '@/lib/store/site'
import type { TestDatabase } from './database'
import type { TestServer } from './server'

/** A session in a form that another process can receive. */
export interface Session {
  personId: string
  email: string
  /** The value of a request's Cookie header. */
  cookie: string
}

/** Someone signed in, with the headers and cookies a browser would send. */
export interface SignedIn extends Session {
  /** The headers of a same-origin request, for `fetch`. */
  headers: Record<string, string>
  /** Adds the cookie to a browser's context. */
  addTo(context: BrowserContext, address: string): Promise<void>
}

export const ADMINISTRATOR: Partial<Roles> = { isAdministrator: true }

/** Makes a person with these roles and signs them in through the sign-in library. `secret` is the server's. */
export async function signInAs(
  { authPool }: { authPool: pg.Pool },
  roles: Partial<Roles>,
  email = `person-${randomBytes(6).toString('hex')}@test.invalid`,
  secret = getSignInSecret(),
): Promise<SignedIn> {
  const actor = { who: 'command', name: 'a test', address: null }
  const person = { email, name: 'A person of the tests', roles: listRoles({ ...NO_ROLES, ...roles }) }
  const personId = await ensurePerson(authPool, person, actor, Date.now())
  const auth = makeAuth({ authPool, secret, url: 'http://localhost' })
  const { headers } = await auth.api.signInPerson({
    body: { personId, way: 'link' },
    headers: new Headers({ 'user-agent': 'the tests' }),
    returnHeaders: true,
  })
  const cookie = headers
    .getSetCookie()
    .map((text) => text.split(';')[0])
    .join('; ')
  return toSignedIn({ personId, email, cookie })
}

export function toSignedIn({ personId, email, cookie }: Session): SignedIn {
  return {
    personId,
    email,
    cookie,
    headers: { cookie, 'sec-fetch-site': 'same-origin' },
    async addTo(context, address) {
      const pairs = cookie.split('; ').map((pair) => pair.split('='))
      await context.addCookies(
        pairs.map(([name = '', ...value]) => ({
          name,
          value: value.join('='),
          url: address,
          httpOnly: true,
          sameSite: 'Lax' as const,
        })),
      )
    },
  }
}

/** A server, its database, and an administrator signed in to it. */
export interface ServedProgramme extends TestServer {
  database: TestDatabase
  administrator: SignedIn
}
