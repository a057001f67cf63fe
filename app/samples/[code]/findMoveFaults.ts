import type { EventKind } from '@/lib/custody/event'
import { findKitCodeFault, isKitCode } from '@/lib/custody/kitCode'
import type { FormFault } from '@/lib/intake/hand/parseEventForm'
import { message } from '@/lib/messages/message'
import { getScope, type Person } from '@/lib/policy/principal'
import { may } from '@/lib/policy/reporting'
import { findVisibleKits } from '@/lib/store/read/sample/eventForm'
import { getAppPool } from '@/lib/store/scope/sharedPool'

/** A move of events of these kinds from one code to another kit's, both canonical. */
export interface EventMove {
  from: string
  to: string
  kinds: readonly EventKind[]
  reason: string
}

/** What is wrong with a move; empty where nothing is. The person may take the events out where they are. */
export async function findMoveFaults(
  person: Person,
  { from, to, kinds, reason }: EventMove,
  now: number,
): Promise<FormFault[]> {
  const faults: FormFault[] = []
  if (to === '') faults.push({ field: 'kit', detail: message('record.fault.noKit') })
  else if (!isKitCode(to)) faults.push({ field: 'kit', detail: findKitCodeFault(to) })
  else if (to === from) faults.push({ field: 'kit', detail: message('record.fault.sameKit') })
  else {
    const [kit] = await findVisibleKits(getAppPool(), getScope(person), [to], now)
    if (!kit) faults.push({ field: 'kit', detail: message('record.fault.unknownKit') })
    else if (!kinds.every((kind) => may(person, kind, kit)))
      faults.push({ field: 'kit', detail: message('record.fault.notToReport') })
  }
  if (reason === '') faults.push({ field: 'reason', detail: message('event.ruling.reasonMissing') })
  return faults
}
