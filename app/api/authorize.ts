import { authorizeRequest, type Refusal } from '@/lib/access/guard'
import { isReadOnly, isSameOrigin } from '@/lib/access/session/sameOrigin'
import { problemReply } from '@/lib/intake/answers/reply'
import { problem } from '@/lib/intake/formats/problem'
import type { Principal } from '@/lib/policy/principal'
import type { RouteName } from '@/lib/policy/routes'

/**
 * Who asks for a route, or the response to give instead: 401 where nobody is known or the key is worth nothing, 403
 * where it is not theirs or a page of another site had their browser ask, 429 where they have to wait.
 */
export async function authorize(route: RouteName, request: Request): Promise<Principal | Response> {
  const found = await authorizeRequest(route, request)
  return typeof found === 'string' || 'waitSeconds' in found ? refusalReply(found) : found
}

/** The response to give instead of an answer to a route that anyone may ask; null where there is none. */
export function allowAnonymous(_route: RouteName, request: Request): Response | null {
  return isReadOnly(request) || isSameOrigin(request) ? null : refusalReply('from elsewhere')
}

/** Marks a route that anyone may ask from anywhere, since it does only what a signed token in its address lets it. */
export function allowToken(_route: RouteName): void {}

const PROBLEMS = {
  nobody: problem('sign-in', 401, 'Sign in first', 'Sign in, or send an API key as Authorization: Bearer.'),
  'no such key': problem(
    'key',
    401,
    'Key not taken',
    'The key is none that works here, or the request was to be signed and is not as it has to be. An administrator sees on the page of keys which of them work.',
  ),
  'not yours': problem('not-yours', 403, 'Not yours to ask', 'Nothing that you are lets you ask for this.'),
  'from elsewhere': problem(
    'from-elsewhere',
    403,
    'Not sent from this site',
    'This must be asked for from a page of this site. Open the page here and try again; a machine sends an API key.',
  ),
}

function refusalReply(refusal: Refusal): Response {
  if (typeof refusal !== 'string') return tooManyRequestsReply(refusal.waitSeconds)
  const reply = problemReply(PROBLEMS[refusal])
  if (reply.status === 401) reply.headers.set('www-authenticate', 'Bearer realm="Holdfast"')
  return reply
}

/** The response to whoever asked too often; `advice` says how not to. */
export function tooManyRequestsReply(
  waitSeconds: number,
  advice = 'Many events go into one request, as NDJSON.',
): Response {
  const detail = `Wait ${waitSeconds} s, then send it again. ${advice}`
  const reply = problemReply(problem('too-many-requests', 429, 'Too many requests', detail))
  reply.headers.set('retry-after', String(waitSeconds))
  return reply
}
