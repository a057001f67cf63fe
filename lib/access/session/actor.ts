import type { Principal } from '@/lib/policy/principal'
import type { Actor } from '@/lib/store/scope/audit'
import { networkAddress } from './networkAddress'

/** A principal as the record of who did what names it, with where its request came from. */
export function actorOf(principal: Principal, request: { headers: Headers } | null): Actor {
  return {
    who: `${principal.kind} ${principal.id}`,
    name: principal.name,
    address: request === null ? null : networkAddress(request),
  }
}
