import { headers } from 'next/headers'
import { notFound, redirect } from 'next/navigation'
import type { Person, Principal } from '@/lib/policy/principal'
import { mayAsk, type RouteName } from '@/lib/policy/routes'
import { environment } from '@/lib/store/environment'
import { type RefusedAttempt, RefusedAttempts } from '@/lib/store/people/refusedAttempts'
import { type Actor, record } from '@/lib/store/scope/audit'
import { sharedDoor } from '@/lib/store/scope/sharedPool'
import { claimsKey, keyOfRequest } from './keys/keyOfRequest'
import { actorOf, networkAddress } from './session/actor'
import { sharedRateLimits } from './session/rateLimits'
import { isSameOrigin } from './session/sameOrigin'
import { visitor } from './session/visitor'
import { PATH_HEADER, signInAddress } from './session/wanted'

/**
 * Who asks for a page. Nobody signed in is led to the sign-in, and from there back; whoever may not ask gets the
 * answer of a page that is not there, and is put on record.
 */
export async function pageVisitor(route: RouteName): Promise<Person> {
  const person = await visitor()
  if (person === null) redirect(signInAddress((await headers()).get(PATH_HEADER)))
  if (mayAsk(route, person)) return person
  const actor = actorOf(person, { headers: await headers() })
  refusedAttempt({ actor, wanted: route, reason: REASONS['not yours'] })
  return notFound()
}

/**
 * Why a route is not answered: nobody is signed in and no key was sent, the key that was sent is worth nothing, it is
 * not this principal's to ask, a page of another site had a browser ask, or too many requests came, with the seconds
 * to wait.
 */
export type Refusal = 'nobody' | 'no such key' | 'not yours' | 'from elsewhere' | { waitSeconds: number }

/**
 * Who asks for a route, or why it is not answered, which then is put on record. The body is not touched: nothing of it
 * is read before it is known whose it is. Asking uses up a signature, so ask once for a request.
 */
export async function askerOf(route: RouteName, request: Request): Promise<Principal | Refusal> {
  const { principal, refusal } = await judged(route, request)
  if (refusal === null) return principal
  const actor = principal ? actorOf(principal, request) : nobodyAt(networkAddress(request))
  const reason = typeof refusal === 'string' ? REASONS[refusal] : 'too many requests'
  refusedAttempt({ actor, wanted: route, reason })
  return refusal
}

/**
 * Whose a secret in an address is, as `find` tells; null where it is nobody's, which counts as a refused key and is put
 * on record, or the seconds to wait where too much was asked: with secrets that are none, or with those of one person.
 */
export async function holderOf<T extends { personId: string }>(
  route: RouteName,
  request: Request,
  find: () => Promise<T | null>,
): Promise<T | null | { waitSeconds: number }> {
  const address = networkAddress(request)
  const wait = await limits().waitOf(address)
  if (wait > 0) return { waitSeconds: wait }
  const found = await find()
  if (found !== null) {
    const waitSeconds = await limits().count(`secrets of ${found.personId}`)
    return waitSeconds > 0 ? { waitSeconds } : found
  }
  await limits().countRefusal(address)
  refusedAttempt({ actor: nobodyAt(address), wanted: route, reason: 'the address is worth nothing' })
  return null
}

const nobodyAt = (address: string): Actor => ({ who: 'nobody', name: 'nobody signed in', address })

const REASONS = {
  nobody: 'nobody is signed in',
  'no such key': 'the key is worth nothing',
  'not yours': 'not theirs to ask',
  'from elsewhere': 'sent by a page of another site',
}

type Judged = { principal: Principal; refusal: null } | { principal: Principal | null; refusal: Refusal }

async function judged(route: RouteName, request: Request): Promise<Judged> {
  const isKey = claimsKey(request)
  const principal = isKey ? await machineOf(request) : await visitor()
  if (principal === null) return { principal, refusal: 'nobody' }
  if (typeof principal === 'string' || 'waitSeconds' in principal)
    return { principal: null, refusal: principal }
  // Reads as well: a page of another site must not have a browser compute or fetch much in its user's name.
  if (!isKey && !isSameOrigin(request)) return { principal, refusal: 'from elsewhere' }
  const waitSeconds = await limits().count(`${principal.kind} ${principal.id}`)
  if (waitSeconds > 0) return { principal, refusal: { waitSeconds } }
  return mayAsk(route, principal) ? { principal, refusal: null } : { principal, refusal: 'not yours' }
}

async function machineOf(request: Request): Promise<Principal | Refusal> {
  const address = networkAddress(request)
  const waitSeconds = await limits().waitOf(address)
  if (waitSeconds > 0) return { waitSeconds }
  const key = await keyOfRequest(sharedDoor(), request, Date.now())
  if (key) return key
  await limits().countRefusal(address)
  return 'no such key'
}

const limits = () => sharedRateLimits(environment().requestsAMinute)

const shared = globalThis as typeof globalThis & { holdfastRefused?: RefusedAttempts }

/**
 * Puts a refused attempt on record, summed with others of its kind and minute. It never fails and keeps nobody
 * waiting: a refusal is answered whether or not it could be recorded, and what could not is said in the server's log.
 */
function refusedAttempt(attempt: RefusedAttempt): void {
  attempts().note(attempt, Date.now()).catch(say)
}

/** Kept on `globalThis`, because Next loads a module more than once in one process. */
function attempts(): RefusedAttempts {
  if (shared.holdfastRefused) return shared.holdfastRefused
  const made = new RefusedAttempts(async (lines) => {
    for (const { actor, line, at } of lines) await record(sharedDoor(), actor, [line], at)
  })
  setInterval(() => made.settle(Date.now()).catch(say), 5_000).unref()
  shared.holdfastRefused = made
  return made
}

function say(error: unknown): void {
  console.error(`A refused attempt could not be recorded: ${(error as Error).message}`)
}
