import { eventKey, type ReadEvent } from '@/lib/custody/event'
import { type Placement, placeEventsInSteps } from '@/lib/custody/placing'
import { isReadingFault, readAcceptedTime } from '@/lib/custody/reading'
import type { Kit, Register } from '@/lib/custody/register'
import { english } from '@/lib/messages/english'
import { getPlacingPolicy } from '@/lib/policy/placingPolicy'
import { findKits } from '../ledger/currentRegister'
import type { LedgerEvent } from '../ledger/eventLedger'
import { TimeSlices } from '../scope/timeSlices'
import type { Queryable } from '../scope/transaction'

/** What the ledger's events say of each sample, with every kit that they name or that was asked for, by its code. */
export interface LedgerPlacement extends Placement {
  kits: ReadonlyMap<string, Kit>
  /** The events with their times read. */
  read: readonly (LedgerEvent & ReadEvent)[]
}

export interface PlaceOptions {
  /** Kit codes to find although no event may name them. */
  codes?: Iterable<string>
  slices?: TimeSlices
}

/** Reads the times of events of the ledger and places them at `now` (ms UTC), as the policy allows their reporters. */
export async function placeLedgerEvents(
  db: Queryable,
  events: readonly LedgerEvent[],
  register: Register,
  now: number,
  { codes = [], slices = new TimeSlices() }: PlaceOptions = {},
): Promise<LedgerPlacement> {
  const named = new Set(codes)
  for (const { sample } of events) if (sample !== null) named.add(sample)
  const kits = await findKits(db, [...named])
  const read = await slices.collect(readLedgerEvents(events, register))
  const policy = getPlacingPolicy(kits, register)
  const placement = await slices.run(placeEventsInSteps(read, (code) => kits.has(code), now, policy))
  return { ...placement, kits, read }
}

function* readLedgerEvents(events: readonly LedgerEvent[], register: Register) {
  for (const event of events) yield readLedgerEvent(event, register)
}

/**
 * Reads the time of an accepted event with the current register, and adds the reading to the event itself.
 *
 * Errors: Error if it cannot be read any more; the register refuses every change that would cause that.
 */
export function readLedgerEvent(event: LedgerEvent, register: Register): LedgerEvent & ReadEvent {
  const reading = readAcceptedTime(event.at, event.zone, register.getZone(event.place))
  if (isReadingFault(reading))
    throw new Error(
      `The accepted event ${eventKey(event)} cannot be read: ${english.message(reading.detail)}`,
    )
  return Object.assign(event, reading)
}
