import type { Roles } from '@/lib/policy/personRoles'
import type { Actor } from '@/lib/schedule/act'

/** What someone is in the programme who may have to act; roles that only see are no part of it. */
export type ActingRoles = Pick<Roles, 'isAdministrator' | 'plants' | 'laboratories'>

/** Whether something is someone's to do: the programme's an administrator's, a plant's or laboratory's its people's. */
export function isResponsible(actor: Actor, { isAdministrator, plants, laboratories }: ActingRoles): boolean {
  if (actor.by === 'programme') return isAdministrator
  return (actor.by === 'plant' ? plants : laboratories).includes(actor.code)
}

/** Whether someone may settle something, or leave it aside: an administrator anything, others what is theirs to do. */
export function mayResolve(actor: Actor, part: ActingRoles): boolean {
  return part.isAdministrator || isResponsible(actor, part)
}
