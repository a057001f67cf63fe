import type { ActingRoles } from '@/lib/judgement/responsibility'
import type { Actor } from '@/lib/schedule/act'

/** Someone without a role. */
export const NOBODY: ActingRoles = { isAdministrator: false, plants: [], laboratories: [] }
export const ADMINISTRATOR: ActingRoles = { ...NOBODY, isAdministrator: true }

/** Someone who is responsible for what the actor has to do. */
export function makeResponsible(actor: Actor): ActingRoles {
  if (actor.by === 'programme') return ADMINISTRATOR
  return { ...NOBODY, [actor.by === 'plant' ? 'plants' : 'laboratories']: [actor.code] }
}
