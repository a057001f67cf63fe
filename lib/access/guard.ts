import { headers } from 'next/headers'
import { notFound, redirect } from 'next/navigation'
import { environment } from '@/lib/store/environment'
import { sharedDoor } from '@/lib/store/sharedPool'
import { claimsKey, keyOfRequest } from './keyOfRequest'
import { networkAddress } from './networkAddress'
import type { Person, Principal } from './principal'
import { sharedRateLimits } from './rateLimits'
import { mayAsk, type RouteName } from './routes'
import { isReading, isSameOrigin } from './sameOrigin'
import { visitor } from './visitor'
import { PATH_HEADER, signInAddress } from './wanted'

/**
 * Who asks for a page. Nobody signed in is led to the sign-in, and from there back; whoever may not ask gets the
 * answer of a page that is not there.
 */
export async function pageVisitor(route: RouteName): Promise<Person> {
  const person = await visitor()
  if (person === null) redirect(signInAddress((await headers()).get(PATH_HEADER)))
  return mayAsk(route, person) ? person : notFound()
}

/**
 * Why a route is not answered: nobody is signed in and no key was sent, the key that was sent is worth nothing, it is
 * not this principal's to ask, a page of another site had a browser ask, or too many requests came, with the seconds
 * to wait.
 */
export type Refusal = 'nobody' | 'no such key' | 'not yours' | 'from elsewhere' | { waitSeconds: number }

/**
 * Who asks for a route, or why it is not answered. The body is not touched: nothing of it is read before it is known
 * whose it is. Asking uses up a signature, so ask once for a request.
 */
export async function askerOf(route: RouteName, request: Request): Promise<Principal | Refusal> {
  const principal = claimsKey(request) ? await machineOf(request) : await personOf(request)
  if (typeof principal === 'string' || 'waitSeconds' in principal) return principal
  const waitSeconds = await limits().count(`${principal.kind} ${principal.id}`)
  if (waitSeconds > 0) return { waitSeconds }
  return mayAsk(route, principal) ? principal : 'not yours'
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

async function personOf(request: Request): Promise<Principal | Refusal> {
  const person = await visitor()
  if (person === null) return 'nobody'
  return isReading(request) || isSameOrigin(request) ? person : 'from elsewhere'
}

const limits = () => sharedRateLimits(environment().requestsAMinute)
