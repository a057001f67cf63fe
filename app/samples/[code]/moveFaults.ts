import { isKitCode, kitCodeFault } from '@/lib/custody/kitCode'
import type { HandFault } from '@/lib/intake/hand/handEvent'
import { type Person, scopeOf } from '@/lib/policy/principal'
import { seenKits } from '@/lib/store/read/sample/byHand'
import { sharedPool } from '@/lib/store/scope/sharedPool'

/** What keeps events of the code `from` from being moved to the kit `to` (both canonical), beside which field. */
export async function moveFaults(
  person: Person,
  from: string,
  to: string,
  reason: string,
  now: number,
): Promise<HandFault[]> {
  const faults: HandFault[] = []
  if (to === '') faults.push({ field: 'kit', detail: 'Write the code of the kit they belong to.' })
  else if (!isKitCode(to)) faults.push({ field: 'kit', detail: kitCodeFault(to) })
  else if (to === from) faults.push({ field: 'kit', detail: 'That is the kit they are on.' })
  else if ((await seenKits(sharedPool(), scopeOf(person), [to], now)).length === 0)
    faults.push({ field: 'kit', detail: 'The register has no kit of this code.' })
  if (reason === '') faults.push({ field: 'reason', detail: 'Say why.' })
  return faults
}
