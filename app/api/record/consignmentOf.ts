import { consignmentKey } from '@/lib/custody/event'
import { isCounted } from '@/lib/custody/placing'
import type { HandFault } from '@/lib/intake/hand/handEvent'
import { type Person, scopeOf } from '@/lib/policy/principal'
import { sampleDossier } from '@/lib/store/read/sample/sampleDossier'
import { sharedPool } from '@/lib/store/scope/sharedPool'

/** The consignment that a kit travels in by its last counted hand-over that names one; null where none does. */
export async function consignmentOf(person: Person, code: string, now: number) {
  const dossier = await sampleDossier(sharedPool(), scopeOf(person), code, now)
  const handedOver = dossier?.sample.events.findLast(
    (placed) =>
      isCounted(placed) && placed.event.kind === 'dispatched' && consignmentKey(placed.event) !== null,
  )
  if (!handedOver) return null
  const { service, waybill } = handedOver.event
  return { sample: null, service, waybill }
}

export const NO_CONSIGNMENT: HandFault = {
  field: 'kit',
  detail:
    'This kit was not handed over under any waybill, so what a carrier says of one cannot be about it. Record the hand-over first.',
}
