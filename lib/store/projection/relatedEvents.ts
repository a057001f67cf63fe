import { judgeCorrections } from '@/lib/custody/corrections'
import { type CustodyEvent, consignmentKey, eventKey, type Reporter } from '@/lib/custody/event'
import { toCanonical } from '@/lib/custody/kitCode'
import type { Kit, Register } from '@/lib/custody/register'
import { hasSample, isRestricted, mayReport } from '@/lib/policy/mayReport'
import { findKits } from '../ledger/currentRegister'
import { declareEventQuery, type LedgerEvent, readEventsByKey } from '../ledger/eventLedger'
import type { Queryable } from '../scope/transaction'
import { findOwnConsignments } from './ownConsignments'
import { type LedgerPlacement, placeLedgerEvents } from './placeLedgerEvents'

/** Samples and consignments whose derived rows may change. */
export interface Touched {
  /** Canonical kit codes, known or not. */
  codes: Set<string>
  /** By consignment key. */
  consignments: Map<string, { service: string; waybillKey: string }>
  /** Events added in this transaction, which need no query. */
  added: readonly LedgerEvent[]
  /** The added events and those they correct, directly or through others; or boxes without a readable code to derive again. */
  chain: readonly LedgerEvent[]
  /** The claims on the consignments of the added events, with what corrects them; empty if the reporter is not restricted. */
  claims: readonly LedgerEvent[]
  /**
   * Kit codes on which the reporter of the added events may not report: others' kits, and (undefined) unknown ones. Nothing
   * about them is read, so that the answer takes the same time for both.
   */
  foreign: ReadonlyMap<string, Kit | undefined>
  /** Keys of consignments of the added events that are not touched: no sample on which the reporter may report claims them. */
  hidden: ReadonlySet<string>
  /**
   * The reporter of the added events, if it may report on some samples only, corrects nothing and displaces no claim: then no
   * other sample changes, and no earlier event becomes unplaced.
   */
  adder: Reporter | null
  /** If set, only these samples are written: nothing was added, so that others in their consignments stay as they are. */
  written: ReadonlySet<string> | null
}

const NOTHING_HIDDEN = {
  claims: [],
  foreign: new Map<string, Kit>(),
  hidden: new Set<string>(),
  adder: null,
  written: null,
}

/** Touches these samples, and those of these consignments, without added events. */
export function touchSamples(
  codes: Iterable<string>,
  consignments: Touched['consignments'] = new Map(),
): Touched {
  return { codes: new Set(codes), consignments, added: [], chain: [], ...NOTHING_HIDDEN }
}

/** Touches these samples and consignments so that only these samples are written. */
export function touchOnly(codes: readonly string[], consignments?: Touched['consignments']): Touched {
  return { ...touchSamples(codes, consignments), written: new Set(codes) }
}

/** Touches boxes without a readable code, which no sample or consignment leads to. */
export function touchBoxes(boxes: readonly LedgerEvent[]): Touched {
  return { ...touchOnly([]), chain: boxes }
}

/** Adds the event's sample, and its consignment if it is a consignment's event or places such events. */
function touch(touched: Touched, event: CustodyEvent): void {
  if (event.sample !== null) touched.codes.add(event.sample)
  touchConsignment(touched.consignments, event)
}

function touchConsignment(
  consignments: Touched['consignments'],
  event: CustodyEvent,
  hidden?: ReadonlySet<string>,
): void {
  if (event.sample !== null && event.kind !== 'dispatched') return
  const key = consignmentKey(event)
  if (key !== null && !hidden?.has(key))
    consignments.set(key, {
      service: event.service as string,
      waybillKey: toCanonical(event.waybill as string),
    })
}

/** The samples and consignments of new events and of the events they correct, directly or through others. */
export async function findTouched(
  db: Queryable,
  added: readonly LedgerEvent[],
  register: Register,
  now: number,
): Promise<Touched> {
  const chain = await addCorrected(db, added)
  const touched: Touched = {
    codes: new Set(),
    consignments: new Map(),
    added,
    chain,
    ...NOTHING_HIDDEN,
  }
  for (const event of chain) touch(touched, event)
  const adder = added[0]?.reporter
  if (!adder || !isRestricted(adder)) return touched
  const kits = await findKits(db, [...touched.codes])
  const isTheirs = (kit: Kit | undefined) => kit !== undefined && hasSample(adder, kit)
  const brokenIn = findLoopedSamples(chain, kits)
  const hidden = [...touched.codes].filter((code) => !isTheirs(kits.get(code)) && !brokenIn.has(code))
  const elsewhere = new Map(hidden.map((code) => [code, kits.get(code)]))
  for (const code of elsewhere.keys()) touched.codes.delete(code)
  const {
    hidden: unseen,
    claims,
    displaced,
  } = await findHiddenConsignments(db, touched, adder, (claims) =>
    placeLedgerEvents(db, claims, register, now),
  )
  for (const key of unseen) touched.consignments.delete(key)
  for (const code of displaced) touched.codes.add(code)
  const changesOthers = displaced.length > 0 || added.some(({ corrects }) => corrects !== null)
  return { ...touched, claims, foreign: elsewhere, hidden: unseen, adder: changesOthers ? null : adder }
}

const CLAIMS = declareEventQuery(
  `join unnest($1::text[], $2::text[]) as asked (service, waybill_key) using (service, waybill_key)
   where e.sample is not null and e.kind = 'dispatched' and e.waybill_key is not null`,
)

/**
 * The touched consignments in which the added events change nothing, since none of the samples for which the reporter acts has a
 * claim on them. Nothing else about them is read, so that another's waybill takes as long as an unknown one.
 * `displaced`: others' samples whose claims wait now. An added claim was accepted before theirs though it is written after them,
 * by a server whose clock is behind.
 */
async function findHiddenConsignments(
  db: Queryable,
  { consignments, chain, added }: Touched,
  reporter: Reporter,
  place: (claims: readonly LedgerEvent[]) => Promise<LedgerPlacement>,
): Promise<{ hidden: ReadonlySet<string>; claims: readonly LedgerEvent[]; displaced: string[] }> {
  const hidden = new Set(consignments.keys())
  const claims = await readClaims(db, await findOwnConsignments(db, consignments, reporter))
  // A loop can undo anyone's corrections.
  if (judgeCorrections(chain).looping.size > 0) return { hidden: new Set(), claims, displaced: [] }
  const isAdded = new Set(added.map(eventKey))
  const sources = new Set(added.map(({ source }) => source))
  for (const event of chain) {
    // A source may correct its own event that matched nothing; only the consignment shows whether it did.
    const isOwnSlip = event.sample === null && !isAdded.has(eventKey(event)) && sources.has(event.source)
    if (isOwnSlip) hidden.delete(consignmentKey(event) as string)
  }
  const { kits, waitingClaims } = await place(claims)
  for (const claim of claims) {
    const key = consignmentKey(claim)
    const kit = kits.get(claim.sample ?? '')
    if (key !== null && kit && hasSample(reporter, kit)) hidden.delete(key)
  }
  const acceptedAt = added[0]?.acceptedAt ?? 0
  const waiting = new Set<CustodyEvent>(waitingClaims)
  const displaced = claims.filter(
    (claim) => waiting.has(claim) && !isAdded.has(eventKey(claim)) && claim.acceptedAt >= acceptedAt,
  )
  return { hidden, claims, displaced: displaced.flatMap(({ sample }) => sample ?? []) }
}

/** The claims on consignments, with the events that correct them. */
async function readClaims(db: Queryable, consignments: Touched['consignments']): Promise<LedgerEvent[]> {
  if (consignments.size === 0) return []
  const claims = await CLAIMS(db, toColumns(consignments))
  return [...claims, ...(claims.length > 0 ? await CORRECTORS(db, [claims.map(eventKey)]) : [])]
}

/**
 * The samples whose corrections no longer count because of a loop. They are derived again, whoever closes the loop, except
 * where the looping event's own reporter may not report on the sample: there it counts as an event of an unknown kit.
 */
function findLoopedSamples(events: readonly LedgerEvent[], kits: ReadonlyMap<string, Kit>): Set<string> {
  const { looping } = judgeCorrections(events)
  const inLoops = looping.size > 0 ? events.filter((event) => looping.has(eventKey(event))) : []
  return new Set(
    inLoops.flatMap((event) => (event.sample !== null && mayReportOwn(event, kits) ? [event.sample] : [])),
  )
}

/**
 * Every event that concerns the touched samples: their own, those of their consignments, the events that correct any of
 * these, and what those correct in turn, so that loops are complete. Adds the samples that share a touched consignment to
 * `touched`.
 */
export async function findRelatedEvents(db: Queryable, touched: Touched): Promise<readonly LedgerEvent[]> {
  const found = new Map(touched.added.map((event) => [event.seq, event]))
  const take = (events: readonly LedgerEvent[]) => {
    for (const event of events) if (!found.has(event.seq)) found.set(event.seq, event)
  }
  const before = touched.added[0]?.seq ?? null
  take(await readSampleEvents(db, [...touched.codes], before))
  for (const event of found.values()) touchConsignment(touched.consignments, event, touched.hidden)
  take(touched.claims)
  const claims = await readClaims(db, touched.consignments)
  take(claims)
  const sharing = await findDispatchedSamples(db, touched, claims)
  for (const code of sharing) touched.codes.add(code)
  if (sharing.length > 0) take(await readSampleEvents(db, sharing, before))
  // A sample may have been handed over under other waybills as well, whose other claims decide whether its own stands.
  const consignments = new Map(touched.consignments)
  for (const event of found.values()) touchConsignment(consignments, event, touched.hidden)
  const further = [...consignments].filter(([key]) => !touched.consignments.has(key))
  take(await readClaims(db, new Map(further)))
  take(await readConsignmentEvents(db, consignments))
  // The events that the added ones correct may not be among those read above, and may have other corrections.
  take(touched.chain)
  take(await CORRECTORS(db, [[...found.values()].map(eventKey)]))
  return addCorrected(db, [...found.values()])
}

const BY_SAMPLES = declareEventQuery('where e.sample = any($1) and ($2::bigint is null or e.seq < $2)')

/** The samples' events that precede the event `before` in the ledger. */
function readSampleEvents(
  db: Queryable,
  codes: readonly string[],
  before: string | null,
): Promise<LedgerEvent[]> {
  return BY_SAMPLES(db, [codes, before])
}

/** Whether the reporter of an event may report it on the sample that it names. */
function mayReportOwn({ reporter, kind, sample }: LedgerEvent, kits: ReadonlyMap<string, Kit>): boolean {
  return mayReport(reporter, kind, kits.get(sample ?? '') ?? null)
}

/** The other samples in a touched consignment: of a restricted reporter, those for which it acts. */
async function findDispatchedSamples(
  db: Queryable,
  { adder, codes }: Touched,
  claims: readonly LedgerEvent[],
): Promise<string[]> {
  const further = claims.filter(({ sample }) => sample !== null && !codes.has(sample))
  if (further.length === 0) return []
  const kits = await findKits(db, [...new Set(further.map(({ sample }) => sample as string))])
  const allowed = further.filter((claim) => {
    const kit = kits.get(claim.sample as string)
    return kit !== undefined && mayReportOwn(claim, kits) && (adder === null || hasSample(adder, kit))
  })
  return [...new Set(allowed.map(({ sample }) => sample as string))]
}

const BY_CONSIGNMENTS = declareEventQuery(
  `join unnest($1::text[], $2::text[]) as asked (service, waybill_key) using (service, waybill_key)
   where e.sample is null`,
)

/** The events that name one of these consignments and no sample. */
async function readConsignmentEvents(
  db: Queryable,
  consignments: Touched['consignments'],
): Promise<LedgerEvent[]> {
  if (consignments.size === 0) return []
  return BY_CONSIGNMENTS(db, toColumns(consignments))
}

function toColumns(consignments: Touched['consignments']): [string[], string[]] {
  const all = [...consignments.values()]
  return [all.map(({ service }) => service), all.map(({ waybillKey }) => waybillKey)]
}

const CORRECTORS = declareEventQuery(
  'join unnest($1::text[]) as asked (corrects) using (corrects) where e.corrects is not null',
)

/** The given events and those they correct, directly or through others. */
async function addCorrected(db: Queryable, events: readonly LedgerEvent[]): Promise<readonly LedgerEvent[]> {
  if (!events.some(({ corrects }) => corrects !== null)) return events
  const found = new Map(events.map((event) => [eventKey(event), event]))
  let missing = findMissingCorrected(found, events)
  while (missing.length > 0) {
    const next = await readEventsByKey(db, missing)
    for (const event of next) found.set(eventKey(event), event)
    missing = findMissingCorrected(found, next)
  }
  return [...found.values()]
}

function findMissingCorrected(
  found: ReadonlyMap<string, LedgerEvent>,
  events: readonly LedgerEvent[],
): string[] {
  const missing = new Set<string>()
  for (const { corrects } of events) if (corrects !== null && !found.has(corrects)) missing.add(corrects)
  return [...missing]
}
