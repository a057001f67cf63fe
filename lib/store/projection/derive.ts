import type pg from 'pg'
import { type CustodyEvent, consignmentKey, isOfUnknownBox } from '@/lib/custody/event'
import type { Register } from '@/lib/custody/register'
import { deriveSample } from '@/lib/custody/sample'
import { mayReport } from '@/lib/policy/mayReport'
import type { LedgerEvent } from '../ledger/eventLedger'
import { command } from '../scope/statement'
import { TimeSlices } from '../scope/timeSlices'
import { computeKnownAt } from './buildJourney'
import { type LedgerPlacement, placeLedgerEvents } from './placeLedgerEvents'
import { findRelatedEvents, type Touched } from './relatedEvents'
import { resetScores } from './scoring'
import { toDerivedRow, writeSamples } from './writeSamples'

/**
 * Recomputes the rows of the touched samples, and which touched events are unplaced or claim a waybill that is another's, from
 * the ledgers as this transaction sees them, at `now` (ms UTC). Needs a write transaction.
 */
export async function derive(
  client: pg.ClientBase,
  touched: Touched,
  register: Register,
  now: number,
  slices = new TimeSlices(),
): Promise<void> {
  const events = await findRelatedEvents(client, touched)
  const placement = await placeLedgerEvents(client, events, register, now, { codes: touched.codes, slices })
  const { bySample, kits, read } = placement
  const knownAt = computeKnownAt(read)
  const written = [...kits.values()].filter(
    ({ code }) => touched.codes.has(code) && (touched.written?.has(code) ?? true),
  )
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
  await writeUnplaced(client, touched, events, placement)
}

const PLACED = command(
  'delete from unplaced using unnest($1::bigint[]) as placed (seq) where unplaced.event_seq = placed.seq',
)
const UNPLACED = command(
  `insert into unplaced (event_seq, is_claim) select * from unnest($1::bigint[], $2::boolean[])
   on conflict (event_seq) do update set is_claim = excluded.is_claim where unplaced.is_claim <> excluded.is_claim`,
)

async function writeUnplaced(
  client: pg.ClientBase,
  touched: Touched,
  events: readonly LedgerEvent[],
  { unplaced, waitingClaims }: LedgerPlacement,
): Promise<void> {
  const inChain = new Set(touched.chain.map(({ seq }) => seq))
  const isElsewhere = (event: LedgerEvent, code: string) =>
    inChain.has(event.seq) &&
    touched.foreign.has(code) &&
    !mayReport(event.reporter, event.kind, touched.foreign.get(code) ?? null)
  const added = new Set(touched.added.map(({ seq }) => seq))
  const isHidden = (event: LedgerEvent, consignment: string) =>
    added.has(event.seq) && touched.hidden.has(consignment)
  const isTouched = (event: LedgerEvent) => {
    if (isOfUnknownBox(event)) return inChain.has(event.seq)
    if (event.sample !== null) return touched.codes.has(event.sample) || isElsewhere(event, event.sample)
    const consignment = consignmentKey(event) as string
    return touched.consignments.has(consignment) || isHidden(event, consignment)
  }
  const candidates = events.filter(isTouched)
  const claims = new Set<CustodyEvent>(waitingClaims)
  const waits = new Set<CustodyEvent>([...unplaced, ...claims])
  await PLACED.run(client, [candidates.filter((event) => !waits.has(event)).map(({ seq }) => seq)])
  const waiting = candidates.filter(
    (event) => waits.has(event) && (touched.adder === null || added.has(event.seq)),
  )
  await UNPLACED.run(client, [waiting.map(({ seq }) => seq), waiting.map((event) => claims.has(event))])
}
