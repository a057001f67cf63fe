import { headers } from 'next/headers'
import { notFound, redirect } from 'next/navigation'
import type { Person, Principal } from './principal'
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
 * Why a route is not answered: nobody is signed in and no key was sent, it is not this principal's to ask, or a page
 * of another site had a browser ask.
 */
export type Refusal = 'nobody' | 'not yours' | 'from elsewhere'

/** Who asks for a route, or why it is not answered. */
export async function askerOf(route: RouteName, request: Request): Promise<Principal | Refusal> {
  const principal = await visitor()
  if (principal === null) return 'nobody'
  if (!isReading(request) && !isSameOrigin(request)) return 'from elsewhere'
  return mayAsk(route, principal) ? principal : 'not yours'
}
