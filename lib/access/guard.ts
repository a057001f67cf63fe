import { notFound, redirect } from 'next/navigation'
import type { Person, Principal } from './principal'
import { mayAsk, type RouteName } from './routes'
import { visitor } from './visitor'

/**
 * Who asks for a page. Nobody signed in is led to the sign-in; whoever may not ask gets the answer of a page that is
 * not there.
 */
export async function pageVisitor(route: RouteName): Promise<Person> {
  const person = await visitor()
  if (person === null) redirect('/sign-in')
  return mayAsk(route, person) ? person : notFound()
}

/** Why a route is not answered: nobody is signed in and no key was sent, or it is not this principal's to ask. */
export type Refusal = 'nobody' | 'not yours'

/** Who asks for a route, or why it is not answered. */
export async function askerOf(route: RouteName, _request: Request): Promise<Principal | Refusal> {
  const principal = await visitor()
  if (principal === null) return 'nobody'
  return mayAsk(route, principal) ? principal : 'not yours'
}
