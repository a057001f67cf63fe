import type { Principal } from '@/lib/policy/principal'
import type { Actor } from '@/lib/store/scope/audit'

/** A principal as the record of who did what names it, with where its request came from. */
export function actorOf(principal: Principal, request: { headers: Headers } | null): Actor {
  return {
    who: `${principal.kind} ${principal.id}`,
    name: principal.name,
    address: request === null ? null : networkAddress(request),
  }
}

/** The header in which our web server puts the network address that a request came from, over whatever was sent in it. */
export const SOURCE_HEADER = 'x-holdfast-source'

/** The network address that a request came from. */
export function networkAddress(request: { headers: Headers }): string {
  return request.headers.get(SOURCE_HEADER) || 'unknown'
}
