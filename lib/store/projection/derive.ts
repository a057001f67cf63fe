import type pg from 'pg'
import { type CustodyEvent, consignmentKey, eventKey, mayReportOn, type ReadEvent } from '@/lib/custody/event'
import { placeEventsInSteps } from '@/lib/custody/placing'
import { isReadingFault, readAcceptedTime } from '@/lib/custody/reading'
import type { Register } from '@/lib/custody/register'
import { deriveSample } from '@/lib/custody/sample'
import { english } from '@/lib/messages/english'
import { findKits } from '../ledger/currentRegister'
import type { LedgerEvent } from '../ledger/eventLedger'
import { command } from '../scope/statement'
import { TimeSlices } from '../scope/timeSlices'
import { computeKnownAt } from './buildJourney'
import { findRelatedEvents, type Touched } from './relatedEvents'
import { resetScores } from './scoring'
import { toDerivedRow, writeSamples } from './writeSamples'

/**
 * Recomputes the rows of the touched samples, and which touched events are unplaced, from the ledgers as this transaction sees
 * them, at `now` (ms UTC). Needs a write transaction.
 */
export async function derive(
  client: pg.ClientBase,
  touched: Touched,
  register: Register,
  now: number,
  slices = new TimeSlices(),
): Promise<void> {
  const events = await findRelatedEvents(client, touched)
  const kits = await findKits(client, [...touched.codes])
  const read = await slices.collect(readLedgerEvents(events, register))
  const { bySample, unplaced } = await slices.run(
    placeEventsInSteps(
      read,
      (code) => kits.has(code),
      now,
      (event, code) => mayReportOn(event, kits.get(code)),
    ),
  )
  const knownAt = computeKnownAt(read)
  const written = [...kits.values()].filter(({ code }) => touched.written?.has(code) ?? true)
  await writeSamples(
    client,
    written,
    (kit) => toDerivedRow(deriveSample(kit, bySample.get(kit.code) ?? [], register, now), register, knownAt),
    slices,
  )
  await resetScores(
    client,
    written.map(({ code }) => code),
  )
  await writeUnplaced(client, touched, events, unplaced)
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

const PLACED = command(
  'delete from unplaced using unnest($1::bigint[]) as placed (seq) where unplaced.event_seq = placed.seq',
)
const UNPLACED = command('insert into unplaced select * from unnest($1::bigint[]) on conflict do nothing')

async function writeUnplaced(
  client: pg.ClientBase,
  touched: Touched,
  events: readonly LedgerEvent[],
  unplaced: readonly ReadEvent[],
): Promise<void> {
  const inChain = new Set(touched.chain.map(({ seq }) => seq))
  const isElsewhere = (event: LedgerEvent, code: string) =>
    inChain.has(event.seq) && touched.foreign.has(code) && !mayReportOn(event, touched.foreign.get(code))
  const added = new Set(touched.added.map(({ seq }) => seq))
  const isHidden = (event: LedgerEvent, consignment: string) =>
    added.has(event.seq) && touched.hidden.has(consignment)
  const isTouched = (event: LedgerEvent) =>
    event.sample === null
      ? touched.consignments.has(consignmentKey(event) as string) ||
        isHidden(event, consignmentKey(event) as string)
      : touched.codes.has(event.sample) || isElsewhere(event, event.sample)
  const candidates = events.filter(isTouched)
  const stays = new Set<CustodyEvent>(unplaced)
  await PLACED.run(client, [candidates.filter((event) => !stays.has(event)).map(({ seq }) => seq)])
  await UNPLACED.run(client, [
    candidates
      .filter((event) => stays.has(event) && (touched.adder === null || added.has(event.seq)))
      .map(({ seq }) => seq),
  ])
}
