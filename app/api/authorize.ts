import { authorizeRequest, type Refusal } from '@/lib/access/guard'
import { takePrincipalTurn } from '@/lib/access/session/principalTurns'
import { isReadOnly, isSameOrigin } from '@/lib/access/session/sameOrigin'
import { problemReply } from '@/lib/intake/answers/reply'
import { problem } from '@/lib/intake/formats/problem'
import type { Principal } from '@/lib/policy/principal'
import type { RouteName } from '@/lib/policy/routes'
import { getSiteUrl } from '@/lib/store/site'

/**
 * Authenticates the request and checks the route's audience. Returns the principal, or a response: 401 without a
 * known principal or with an invalid key, 403 for a route that is not theirs or a request from another site, 429
 * after too many requests. Waits until the requests of this principal that came before are answered, all but a few.
 */
export async function authorize(route: RouteName, request: Request): Promise<Principal | Response> {
  const found = await authorizeRequest(route, request)
  if (typeof found === 'string' || 'waitSeconds' in found) return refusalReply(found)
  return (await takePrincipalTurn(found, isReadOnly(request)))
    ? found
    : tooManyRequestsReply(TURN_WAIT_SECONDS)
}

/** Admits anyone to a route. Returns a 403 response to a form from another site, else null. */
export function allowAnonymous(_route: RouteName, request: Request): Response | null {
  return isReadOnly(request) || isSameOrigin(request, getSiteUrl()) ? null : refusalReply('cross-site')
}

/** Marks a route that acts only on the signed token in its address. */
export function allowToken(_route: RouteName): void {}

/** When to send a request again for which no turn was to be had, s. */
const TURN_WAIT_SECONDS = 5

const PROBLEMS = {
  nobody: problem('sign-in', 401, 'Sign in first', 'Sign in, or send an API key as Authorization: Bearer.'),
  'invalid key': problem(
    'key',
    401,
    'API key refused',
    'The API key does not work here, or a request that must be signed has no valid signature. An administrator can see on the page “API keys” which keys work.',
  ),
  forbidden: problem('not-yours', 403, 'Not allowed', 'None of your roles allows this request.'),
  'cross-site': problem(
    'from-elsewhere',
    403,
    'Not sent from this site',
    'This request has to come from a page of this site. Open the page here and try again. A machine sends an API key.',
  ),
}

function refusalReply(refusal: Refusal): Response {
  if (typeof refusal !== 'string') return tooManyRequestsReply(refusal.waitSeconds)
  const reply = problemReply(PROBLEMS[refusal])
  if (reply.status === 401) reply.headers.set('www-authenticate', 'Bearer realm="Holdfast"')
  return reply
}

/** `advice` says how to need fewer requests. */
export function tooManyRequestsReply(
  waitSeconds: number,
  advice = 'One request can carry many events, as NDJSON.',
): Response {
  const detail = `Wait ${waitSeconds} s, then send it again. ${advice}`
  const reply = problemReply(problem('too-many-requests', 429, 'Too many requests', detail))
  reply.headers.set('retry-after', String(waitSeconds))
  return reply
}
