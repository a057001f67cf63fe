import type { Principal } from '@/lib/policy/principal'
import type { Actor } from '@/lib/store/scope/audit'

/** A principal as the record of who did what names it, with where its request came from. */
export function toActor(principal: Principal, request: { headers: Headers } | null): Actor {
  return {
    who: `${principal.kind} ${principal.id}`,
    name: principal.name,
    address: request === null ? null : getNetworkAddress(request),
  }
}

/** The header in which our web server puts the network address that a request came from, over whatever was sent in it. */
export const SOURCE_HEADER = 'x-holdfast-source'

/** The network address that a request came from. */
export function getNetworkAddress(request: { headers: Headers }): string {
  return request.headers.get(SOURCE_HEADER) || 'unknown'
}
