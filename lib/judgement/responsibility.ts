import type { Roles } from '@/lib/policy/personRoles'
import type { Actor } from '@/lib/schedule/act'

/** The roles of a person who may have to act; roles that only see are left out. */
export type ActingRoles = Pick<Roles, 'isAdministrator' | 'plants' | 'laboratories'>

/** Whether a person has to act: administrators for the programme, contacts and desks for their plants and laboratories. */
export function isResponsible(actor: Actor, { isAdministrator, plants, laboratories }: ActingRoles): boolean {
  if (actor.by === 'programme') return isAdministrator
  return (actor.by === 'plant' ? plants : laboratories).includes(actor.code)
}

/** Whether a person may settle something or set it aside: administrators anything, others what is theirs to do. */
export function mayResolve(actor: Actor, part: ActingRoles): boolean {
  return part.isAdministrator || isResponsible(actor, part)
}

/** Someone who is responsible for what an actor has to do. */
export function makeResponsible(actor: Actor): ActingRoles {
  return {
    isAdministrator: actor.by === 'programme',
    plants: actor.by === 'plant' ? [actor.code] : [],
    laboratories: actor.by === 'laboratory' ? [actor.code] : [],
  }
}
