import { eventKey } from '@/lib/custody/event'
import { splitFaultKey } from '@/lib/custody/findingKey'
import { hasSample, isRestricted, mayReport, mayTakeOut } from '@/lib/policy/mayReport'
import { findKits } from '../ledger/currentRegister'
import { type LedgerEvent, readEventsByKey } from '../ledger/eventLedger'
import type { Queryable } from '../scope/transaction'

/** Why an event is not its reporter's to report: its own kind, or that of the event it takes out. */
export type NotAllowed = 'not allowed' | 'not allowed to correct'

/**
 * Of new events, which the ledger has by now, those that their reporter may not report on a sample that it may see. A sample that
 * it may not see is none to it: what it says of that waits like an event of an unknown kit, so that the answer is the same.
 */
export async function findNotAllowed(
  db: Queryable,
  added: readonly LedgerEvent[],
): Promise<ReadonlyMap<LedgerEvent, NotAllowed>> {
  const found = new Map<LedgerEvent, NotAllowed>()
  const reporter = added[0]?.reporter
  if (!reporter) return found
  const corrected = await findCorrected(db, added)
  // Whoever is not restricted may lack only the kind of what they take out.
  const own = isRestricted(reporter) ? added : added.filter(namesFault)
  const events = [...own, ...corrected.values()]
  if (events.length === 0) return found
  const kits = await findKits(db, [...new Set(events.flatMap(({ sample }) => sample ?? []))])
  const isForbidden = ({ sample, kind }: LedgerEvent) => {
    const kit = sample === null ? undefined : kits.get(sample)
    return kit !== undefined && hasSample(reporter, kit) && !mayReport(reporter, kind, kit)
  }
  // What waits may be another's, whose ids are nobody else's to know.
  const isPlaced = ({ reporter: by, sample, kind }: LedgerEvent) => {
    const kit = sample === null ? undefined : kits.get(sample)
    return kit !== undefined && mayReport(by, kind, kit)
  }
  // Whoever may report a receipt may take back its faults, on the sample that the withdrawal names.
  const takesForeignFaultBack = (event: LedgerEvent) =>
    namesFault(event) && !corrected.has(event.corrects ?? '') && isForbidden({ ...event, kind: 'received' })
  const mayNotTakeOut = (target: LedgerEvent) => {
    const kit = target.sample === null ? undefined : kits.get(target.sample)
    return kit !== undefined && hasSample(reporter, kit) && !mayTakeOut(reporter, target, kit)
  }
  for (const event of added) {
    const target = event.corrects === null ? undefined : corrected.get(event.corrects)
    if (isForbidden(event)) found.set(event, 'not allowed')
    else if (takesForeignFaultBack(event)) found.set(event, 'not allowed to correct')
    else if (target && isPlaced(target) && mayNotTakeOut(target)) found.set(event, 'not allowed to correct')
  }
  return found
}

function namesFault({ corrects }: LedgerEvent): boolean {
  return corrects !== null && splitFaultKey(corrects) !== null
}

/** The events that these correct, by key. */
async function findCorrected(
  db: Queryable,
  added: readonly LedgerEvent[],
): Promise<ReadonlyMap<string, LedgerEvent>> {
  const keys = [...new Set(added.flatMap(({ corrects }) => corrects ?? []))]
  if (keys.length === 0) return new Map()
  return new Map((await readEventsByKey(db, keys)).map((event) => [eventKey(event), event]))
}
