import { askerOf, type Refusal } from '@/lib/access/guard'
import type { Principal } from '@/lib/access/principal'
import type { RouteName } from '@/lib/access/routes'
import { isReading, isSameOrigin } from '@/lib/access/sameOrigin'
import { problem } from '@/lib/intake/problem'
import { problemReply } from '@/lib/intake/reply'

/**
 * Who asks for a route, or the response to give instead: 401 where nobody is known, 403 where it is not theirs or a
 * page of another site had their browser ask.
 */
export async function asked(route: RouteName, request: Request): Promise<Principal | Response> {
  const principal = await askerOf(route, request)
  return typeof principal === 'string' ? refusalReply(principal) : principal
}

/** The response to give instead of an answer to a route that anyone may ask; null where there is none. */
export function askedByAnyone(_route: RouteName, request: Request): Response | null {
  return isReading(request) || isSameOrigin(request) ? null : refusalReply('from elsewhere')
}

function refusalReply(refusal: Refusal): Response {
  if (refusal === 'nobody')
    return problemReply(
      problem('sign-in', 401, 'Sign in first', 'Sign in, or send an API key as Authorization: Bearer.'),
    )
  if (refusal === 'not yours')
    return problemReply(
      problem('not-yours', 403, 'Not yours to ask', 'Nothing that you are lets you ask for this.'),
    )
  return problemReply(
    problem(
      'from-elsewhere',
      403,
      'Not sent from this site',
      'What changes something must be sent from a page of this site. Open the page here and try again; a machine sends an API key.',
    ),
  )
}
