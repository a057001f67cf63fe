import { findKitCodeFault, isKitCode } from '@/lib/custody/kitCode'
import type { FormFault } from '@/lib/intake/hand/parseEventForm'
import { english } from '@/lib/messages/english'
import { getScope, type Person } from '@/lib/policy/principal'
import { findVisibleKits } from '@/lib/store/read/sample/eventForm'
import { getAppPool } from '@/lib/store/scope/sharedPool'

/** What keeps events of the code `from` from being moved to the kit `to` (both canonical), beside which field. */
export async function findMoveFaults(
  person: Person,
  from: string,
  to: string,
  reason: string,
  now: number,
): Promise<FormFault[]> {
  const faults: FormFault[] = []
  if (to === '') faults.push({ field: 'kit', detail: 'Write the code of the kit they belong to.' })
  else if (!isKitCode(to)) faults.push({ field: 'kit', detail: english.message(findKitCodeFault(to)) })
  else if (to === from) faults.push({ field: 'kit', detail: 'That is the kit they are on.' })
  else if ((await findVisibleKits(getAppPool(), getScope(person), [to], now)).length === 0)
    faults.push({ field: 'kit', detail: 'The register has no kit of this code.' })
  if (reason === '') faults.push({ field: 'reason', detail: 'Say why.' })
  return faults
}
