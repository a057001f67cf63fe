import { headers } from 'next/headers'
import { notFound, redirect } from 'next/navigation'
import type { Person, Principal } from '@/lib/policy/principal'
import { mayAccess, type RouteName } from '@/lib/policy/routes'
import { getEnvironment } from '@/lib/store/environment'
import { type RefusedAttempt, RefusedAttempts } from '@/lib/store/people/refusedAttempts'
import { type Actor, appendToAuditLog } from '@/lib/store/scope/audit'
import { getAuthPool } from '@/lib/store/scope/sharedPool'
import { getSiteUrl } from '@/lib/store/site'
import { getLog } from '@/lib/telemetry/log'
import { notePrincipal } from '@/lib/telemetry/requestContext'
import { findRequestKey, hasKeyHeader } from './keys/requestKey'
import { getClient, getNetworkAddress, toActor } from './session/actor'
import { getUser } from './session/currentUser'
import { getGuessLimit } from './session/guessLimit'
import { getRateLimits } from './session/rateLimits'
import { buildSignInPath, PATH_HEADER } from './session/returnPath'
import { isSameOrigin } from './session/sameOrigin'

/**
 * Requires someone who may see a page. Redirects to sign-in, and from there back, if nobody is signed in. A person
 * without the right gets the response of a missing page, and the attempt is recorded.
 */
export async function requireUser(route: RouteName): Promise<Person> {
  const person = await getUser()
  if (person === null) redirect(buildSignInPath((await headers()).get(PATH_HEADER)))
  if (mayAccess(route, person)) return person
  const actor = toActor(person, { headers: await headers() })
  recordRefusal({ actor, attempted: route, reason: REASONS.forbidden })
  return notFound()
}

/**
 * Why a request is refused: nobody is signed in and there is no key; the key is invalid; the principal lacks the right;
 * a page of another site made the browser send it; or there were too many requests, with the seconds to wait.
 */
export type Refusal = 'nobody' | 'invalid key' | 'forbidden' | 'cross-site' | { waitSeconds: number }

/**
 * Authenticates and authorizes a request. Returns the principal, or the reason for the refusal, which is recorded.
 * Never reads the body, since nothing is read before the sender is known. Consumes a signature, so call it once per
 * request.
 */
export async function authorizeRequest(route: RouteName, request: Request): Promise<Principal | Refusal> {
  const { principal, refusal } = await judgeRequest(route, request)
  if (refusal === null) return principal
  const actor = principal ? toActor(principal, request) : toAnonymousActor(getNetworkAddress(request))
  const reason = typeof refusal === 'string' ? REASONS[refusal] : 'too many requests'
  recordRefusal({ actor, attempted: route, reason })
  return refusal
}

/**
 * Looks up a secret that a request holds, by `find`. Returns null for an unknown one, which is recorded and counts as a
 * wrong key does, or the seconds to wait after too many of them. A right one is served however many came before.
 */
export async function lookUpSecret<T extends object>(
  route: RouteName,
  request: Request,
  find: () => Promise<T | null>,
): Promise<T | null | { waitSeconds: number }> {
  const found = await find()
  if (found !== null) return found
  recordRefusal({
    actor: toAnonymousActor(getNetworkAddress(request)),
    attempted: route,
    reason: 'unknown secret',
  })
  const waitSeconds = await getGuessLimit().count(getClient(request))
  return waitSeconds > 0 ? { waitSeconds } : null
}

/** Counts a request with one of a person's secrets. Returns the seconds to wait after too many, else 0. */
export const countSecretUse = (personId: string): Promise<number> =>
  getLimits().count(`secrets of ${personId}`)

const toAnonymousActor = (address: string): Actor => ({ who: 'nobody', name: 'nobody signed in', address })

const REASONS = {
  nobody: 'nobody is signed in',
  'invalid key': 'unknown or invalid key',
  forbidden: 'no permission',
  'cross-site': 'sent by a page of another site',
}

type Verdict = { principal: Principal; refusal: null } | { principal: Principal | null; refusal: Refusal }

async function judgeRequest(route: RouteName, request: Request): Promise<Verdict> {
  const isKey = hasKeyHeader(request)
  const principal = isKey ? await authenticateMachine(request) : await getUser()
  if (principal === null) return { principal, refusal: 'nobody' }
  if (typeof principal === 'string' || 'waitSeconds' in principal)
    return { principal: null, refusal: principal }
  notePrincipal(principal)
  // Reads are checked too: a page of another site must not make a browser compute or fetch much in its user's name.
  if (!isKey && !isSameOrigin(request, getSiteUrl())) return { principal, refusal: 'cross-site' }
  const waitSeconds = await getLimits().count(`${principal.kind} ${principal.id}`)
  if (waitSeconds > 0) return { principal, refusal: { waitSeconds } }
  return mayAccess(route, principal) ? { principal, refusal: null } : { principal, refusal: 'forbidden' }
}

/** A known key is served whatever else comes from its address: only wrong ones are counted. */
async function authenticateMachine(request: Request): Promise<Principal | Refusal> {
  const { key, namedIds } = await findRequestKey(getAuthPool(), request, Date.now())
  if (key) return key
  const waitSeconds = await getGuessLimit().count(getClient(request), namedIds)
  return waitSeconds > 0 ? { waitSeconds } : 'invalid key'
}

const getLimits = () => getRateLimits(getEnvironment().requestsPerMinute)

const shared = globalThis as typeof globalThis & { holdfastRefused?: RefusedAttempts }

/**
 * Records a refused attempt, summed with others of its kind and minute. Never throws and never delays the response: a
 * refusal stands even if it cannot be recorded, and a failed write goes to the server's log.
 */
function recordRefusal(attempt: RefusedAttempt): void {
  getRefusedAttempts().add(attempt, Date.now()).catch(logFailure)
}

/** Kept on `globalThis`, because Next may load a module more than once in one process. */
function getRefusedAttempts(): RefusedAttempts {
  if (shared.holdfastRefused) return shared.holdfastRefused
  const made = new RefusedAttempts(async (lines) => {
    for (const { actor, line, at } of lines) await appendToAuditLog(getAuthPool(), actor, [line], at)
  })
  setInterval(() => made.flush(Date.now()).catch(logFailure), 5_000).unref()
  shared.holdfastRefused = made
  return made
}

function logFailure(error: unknown): void {
  getLog().error(`A refused attempt could not be recorded: ${(error as Error).message}`)
}
