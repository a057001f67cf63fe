import type { Principal } from '@/lib/policy/principal'
import type { Actor } from '@/lib/store/scope/audit'

/** The principal as the audit log names it, with the address of its request. */
export function toActor(principal: Principal, request: { headers: Headers } | null): Actor {
  return {
    who: `${principal.kind} ${principal.id}`,
    name: principal.name,
    address: request === null ? null : getNetworkAddress(request),
  }
}

/** The header in which our web server puts the client's network address, replacing whatever the client sent. */
export const SOURCE_HEADER = 'x-holdfast-source'

/** The header in which it puts the client that the address belongs to, as limits count it (`clientNetwork.mjs`). */
export const CLIENT_HEADER = 'x-holdfast-client'

/** The client as limits count it: its address, the /64 network of IPv6, or `unknown`. */
export function getClient(request: { headers: Headers }): string {
  return request.headers.get(CLIENT_HEADER) || 'unknown'
}

/** The client's network address, or `unknown`. */
export function getNetworkAddress(request: { headers: Headers }): string {
  return request.headers.get(SOURCE_HEADER) || 'unknown'
}
