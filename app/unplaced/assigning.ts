import { canonical } from '@/lib/custody/kitCode'
import type { Person } from '@/lib/policy/principal'
import type { UnplacedEvent } from '@/lib/store/read/unplaced/unplacedEvents'
import { consignmentOf, NO_CONSIGNMENT } from '../api/record/consignmentOf'
import { moveFaults } from '../api/record/moveFaults'
import type { Assigning } from './AssignForm'

/** What was typed about assigning an event, as the address has it, and what is wrong with it; null where nothing was. */
export async function assigningOf(
  person: Person,
  events: readonly UnplacedEvent[],
  params: Record<string, string | string[] | undefined>,
  now: number,
): Promise<Assigning | null> {
  const one = (name: string) => [params[name]].flat()[0] ?? ''
  const chosen = events.find(({ key }) => key === one('assign'))
  if (!chosen) return null
  const [to, reason] = [canonical(one('to')), one('why').trim()]
  const faults = await moveFaults(person, chosen.event.sample ?? '', to, reason, now)
  const isPlaceable = chosen.event.sample !== null || (await consignmentOf(person, to, now)) !== null
  if (faults.length === 0 && !isPlaceable) faults.push(NO_CONSIGNMENT)
  return { key: chosen.key, to, reason, faults }
}
