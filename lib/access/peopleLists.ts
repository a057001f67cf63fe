import type { Actor } from '@/lib/store/audit'
import { sharedDoor } from '@/lib/store/sharedPool'
import * as many from './enterMany'
import type { WrittenPeople } from './planPeople'

/** Lists of people, on the database of this process. */
export const tryPeople = (written: WrittenPeople) => many.tryPeople(sharedDoor(), written)

export const enterMany = (written: WrittenPeople, confirmed: string, actor: Actor, now: number) =>
  many.enterMany(sharedDoor(), written, confirmed, actor, now)
