import { askerOf } from '@/lib/access/guard'
import type { Principal } from '@/lib/access/principal'
import type { RouteName } from '@/lib/access/routes'
import { problem } from '@/lib/intake/problem'
import { problemReply } from '@/lib/intake/reply'

/** Who asks for a route, or the response to give instead: 401 where nobody is known, 403 where it is not theirs. */
export async function asked(route: RouteName, request: Request): Promise<Principal | Response> {
  const principal = await askerOf(route, request)
  if (principal === 'nobody')
    return problemReply(
      problem('sign-in', 401, 'Sign in first', 'Sign in, or send an API key as Authorization: Bearer.'),
    )
  if (principal === 'not yours')
    return problemReply(
      problem('not-yours', 403, 'Not yours to ask', 'Nothing that you are lets you ask for this.'),
    )
  return principal
}
