import type { Part } from '@/lib/judgement/hasToAct'
import type { Actor } from '@/lib/schedule/act'

/** Someone who has no part in the programme. */
export const NOBODY: Part = { isAdministrator: false, plants: [], laboratories: [] }
export const ADMINISTRATOR: Part = { ...NOBODY, isAdministrator: true }

/** Whose it is to do. */
export function readerOf(actor: Actor): Part {
  if (actor.by === 'programme') return ADMINISTRATOR
  return { ...NOBODY, [actor.by === 'plant' ? 'plants' : 'laboratories']: [actor.code] }
}
