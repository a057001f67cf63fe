import { findKitCodeFault, isKitCode } from '@/lib/custody/kitCode'
import type { FormFault } from '@/lib/intake/hand/parseEventForm'
import { message } from '@/lib/messages/message'
import { getScope, type Person } from '@/lib/policy/principal'
import { findVisibleKits } from '@/lib/store/read/sample/eventForm'
import { getAppPool } from '@/lib/store/scope/sharedPool'

/** What is wrong with a move of events from the code `from` to the kit `to`, both canonical; empty where nothing is. */
export async function findMoveFaults(
  person: Person,
  from: string,
  to: string,
  reason: string,
  now: number,
): Promise<FormFault[]> {
  const faults: FormFault[] = []
  if (to === '') faults.push({ field: 'kit', detail: message('record.fault.noKit') })
  else if (!isKitCode(to)) faults.push({ field: 'kit', detail: findKitCodeFault(to) })
  else if (to === from) faults.push({ field: 'kit', detail: message('record.fault.sameKit') })
  else if ((await findVisibleKits(getAppPool(), getScope(person), [to], now)).length === 0)
    faults.push({ field: 'kit', detail: message('record.fault.unknownKit') })
  if (reason === '') faults.push({ field: 'reason', detail: message('event.ruling.reasonMissing') })
  return faults
}
