import type { FormFault } from '@/lib/intake/hand/parseEventForm'
import { message } from '@/lib/messages/message'
import type { Person } from '@/lib/policy/principal'
import { may } from '@/lib/policy/reporting'
import type { VisibleKit } from '@/lib/store/read/sample/eventForm'

/** The kits that a person sees and may not receive: one of their plant that is bound for another laboratory. */
export function findBarredKits(person: Person, kits: readonly VisibleKit[]): FormFault[] {
  return kits
    .filter((kit) => !may(person, 'received', kit))
    .map(({ code }) => ({ field: `box.${code}`, detail: message('record.fault.notToReport') }))
}
