import { z } from 'zod'
import { judgeCorrections } from '@/lib/custody/corrections'
import {
  type CustodyEvent,
  consignmentKey,
  eventKey,
  isRestricted,
  mayReportOn,
  type Reporter,
} from '@/lib/custody/event'
import { toCanonical } from '@/lib/custody/kitCode'
import type { Kit } from '@/lib/custody/register'
import { findKits } from '../ledger/currentRegister'
import { declareEventQuery, type LedgerEvent } from '../ledger/eventLedger'
import { statement } from '../scope/statement'
import type { Queryable } from '../scope/transaction'

/** Samples and consignments whose derived rows may change. */
export interface Touched {
  /** Canonical kit codes, of known kits or not. */
  codes: Set<string>
  /** Service and waybill of consignments, by their comparable key. */
  consignments: Map<string, { service: string; waybillKey: string }>
  /** Events that were added within this transaction; they are at hand and need not be asked for. */
  added: readonly LedgerEvent[]
  /** These and those they correct, in a chain. */
  chain: readonly LedgerEvent[]
  /**
   * Codes of which the reporter of the added events may not speak, of others' kits (with the kit) and of none: nothing
   * of them is read, so that the answer takes the same time for both.
   */
  foreign: ReadonlyMap<string, Kit | undefined>
  /** Consignments of the added events that are not touched: their reporter may speak of no sample in them. */
  hidden: ReadonlySet<string>
  /**
   * Who added the events, where it may speak of some samples only and corrects nothing: then no sample of others
   * changes, and of what was there before nothing becomes unplaced.
   */
  adder: Reporter | null
}

const NOTHING_HIDDEN = { foreign: new Map<string, Kit>(), hidden: new Set<string>(), adder: null }

/** Touches these samples and consignments, with nothing added. */
export function touchSamples(
  codes: Iterable<string>,
  consignments: Touched['consignments'] = new Map(),
): Touched {
  return { codes: new Set(codes), consignments, added: [], chain: [], ...NOTHING_HIDDEN }
}

/** Notes the sample of an event and, if it can place a consignment's events or is one, its consignment. */
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

/** What new events touch: their own samples and consignments, and those of the events they correct, in a chain. */
export async function findTouched(db: Queryable, added: readonly LedgerEvent[]): Promise<Touched> {
  const chain = await addCorrected(db, added)
  const touched: Touched = {
    codes: new Set(),
    consignments: new Map(),
    added,
    chain,
    ...NOTHING_HIDDEN,
  }
  for (const event of chain) touch(touched, event)
  const reporter = added.find(isRestricted)
  if (!reporter) return touched
  const kits = await findKits(db, [...touched.codes])
  const brokenIn = findLoopedSamples(chain, kits)
  const hidden = [...touched.codes].filter(
    (code) => !mayReportOn(reporter, kits.get(code)) && !brokenIn.has(code),
  )
  const elsewhere = new Map(hidden.map((code) => [code, kits.get(code)]))
  for (const code of elsewhere.keys()) touched.codes.delete(code)
  const known = reporter.reporter as Reporter
  const unseen = await findHiddenConsignments(db, touched.consignments, touched, known)
  for (const key of unseen) touched.consignments.delete(key)
  const isCorrecting = added.some(({ corrects }) => corrects !== null)
  return { ...touched, foreign: elsewhere, hidden: unseen, adder: isCorrecting ? null : known }
}

const VISIBLE_CONSIGNMENTS = statement(
  z.object({ n: z.number() }),
  `select n::int from unnest($1::text[], $2::text[]) with ordinality as asked (service, waybill_key, n)
   where exists (
     select from event e join sample s on s.code = e.sample
     where e.service = asked.service and e.waybill_key = asked.waybill_key and e.sample is not null
       and e.kind = 'dispatched' and e.waybill_key is not null
       and (s.plant = any($3::text[]) or s.laboratory = any($4::text[])))`,
)

/**
 * The touched consignments in which the added events change nothing, since no sample of which their reporter may speak
 * travels in them. Nothing of these is read, so that another's waybill takes the time of one that is nobody's.
 * `chain` is the added events and those they correct, in a chain.
 */
async function findHiddenConsignments(
  db: Queryable,
  touched: Touched['consignments'],
  { chain, added }: { chain: readonly LedgerEvent[]; added: readonly LedgerEvent[] },
  reporter: Reporter,
): Promise<ReadonlySet<string>> {
  const hidden = new Set(touched.keys())
  // A loop undoes corrections of anybody's.
  if (judgeCorrections(chain).looping.size > 0) return new Set()
  const isAdded = new Set(added.map(eventKey))
  const sources = new Set(added.map(({ source }) => source))
  for (const event of chain) {
    // A source may put right its own slip that fits nothing, and whether it fits nothing the consignment tells.
    const isOwnSlip = event.sample === null && !isAdded.has(eventKey(event)) && sources.has(event.source)
    if (isOwnSlip) hidden.delete(consignmentKey(event) as string)
  }
  const all = [...touched.keys()]
  const rows = await VISIBLE_CONSIGNMENTS.all(db, [
    ...toColumns(touched),
    reporter.plants ?? [],
    reporter.laboratories ?? [],
  ])
  for (const { n } of rows) hidden.delete(all[n - 1] as string)
  return hidden
}

/**
 * The samples in which a loop lets corrections count no more. Whoever closes it, they are derived again, but for those
 * of which the looping event's own reporter may not speak: there it is as one of an unknown kit.
 */
function findLoopedSamples(events: readonly LedgerEvent[], kits: ReadonlyMap<string, Kit>): Set<string> {
  const { looping } = judgeCorrections(events)
  const inLoops = looping.size > 0 ? events.filter((event) => looping.has(eventKey(event))) : []
  return new Set(
    inLoops.flatMap((event) =>
      event.sample !== null && mayReportOn(event, kits.get(event.sample)) ? [event.sample] : [],
    ),
  )
}

/**
 * Every event that bears on touched samples: their own, those of the consignments they travel in, what corrects any
 * of these, and what those correct in turn, so that loops are seen whole. Grows `touched` by the samples that share a
 * touched consignment.
 */
export async function findRelatedEvents(db: Queryable, touched: Touched): Promise<readonly LedgerEvent[]> {
  const found = new Map(touched.added.map((event) => [event.seq, event]))
  const take = (events: readonly LedgerEvent[]) => {
    for (const event of events) if (!found.has(event.seq)) found.set(event.seq, event)
  }
  const before = touched.added[0]?.seq ?? null
  take(await readSampleEvents(db, [...touched.codes], before))
  for (const event of found.values()) touchConsignment(touched.consignments, event, touched.hidden)
  const sharing = await findDispatchedSamples(db, touched)
  for (const code of sharing) touched.codes.add(code)
  if (sharing.length > 0) take(await readSampleEvents(db, sharing, before))
  take(await readConsignmentEvents(db, touched, found.values()))
  // What the added events correct may not have been read above, and may have other correctors.
  take(touched.chain)
  take(await CORRECTORS(db, [[...found.values()].map(eventKey)]))
  return addCorrected(db, [...found.values()])
}

const BY_SAMPLES = declareEventQuery('where e.sample = any($1) and ($2::bigint is null or e.seq < $2)')

/** The events of samples that were in the ledger before the event `before`. */
function readSampleEvents(
  db: Queryable,
  codes: readonly string[],
  before: string | null,
): Promise<LedgerEvent[]> {
  return BY_SAMPLES(db, [codes, before])
}

const DISPATCHES = declareEventQuery(
  `join unnest($1::text[], $2::text[]) as asked (service, waybill_key) using (service, waybill_key)
   where e.sample is not null and e.kind = 'dispatched' and e.waybill_key is not null
     and ($3 or exists (select from sample s where s.code = e.sample
       and (s.plant = any($4::text[]) or s.laboratory = any($5::text[]))))`,
)

/** The further samples that a dispatch by one who may speak of them puts into a touched consignment. */
async function findDispatchedSamples(db: Queryable, touched: Touched): Promise<string[]> {
  if (touched.consignments.size === 0) return []
  const dispatches = await DISPATCHES(db, [
    ...toColumns(touched.consignments),
    touched.adder === null,
    touched.adder?.plants ?? [],
    touched.adder?.laboratories ?? [],
  ])
  const further = dispatches.filter(({ sample }) => !touched.codes.has(sample as string))
  if (further.length === 0) return []
  const kits = await findKits(db, [...new Set(further.map(({ sample }) => sample as string))])
  const spokenOf = further.filter((event) => mayReportOn(event, kits.get(event.sample as string)))
  return [...new Set(spokenOf.map(({ sample }) => sample as string))]
}

const BY_CONSIGNMENTS = declareEventQuery(
  `join unnest($1::text[], $2::text[]) as asked (service, waybill_key) using (service, waybill_key)
   where e.sample is null`,
)

/** The events of every touched consignment, and of every other that the given dispatches name. */
async function readConsignmentEvents(
  db: Queryable,
  touched: Touched,
  events: Iterable<LedgerEvent>,
): Promise<LedgerEvent[]> {
  const asked = new Map(touched.consignments)
  for (const event of events) touchConsignment(asked, event, touched.hidden)
  if (asked.size === 0) return []
  return BY_CONSIGNMENTS(db, toColumns(asked))
}

function toColumns(consignments: Touched['consignments']): [string[], string[]] {
  const all = [...consignments.values()]
  return [all.map(({ service }) => service), all.map(({ waybillKey }) => waybillKey)]
}

const CORRECTORS = declareEventQuery(
  'join unnest($1::text[]) as asked (corrects) using (corrects) where e.corrects is not null',
)
const BY_KEYS = declareEventQuery(
  'join unnest($1::text[], $2::text[]) as asked (source, id) using (source, id)',
)

/** The given events and those they correct, and those these correct, as far as it goes. */
async function addCorrected(db: Queryable, events: readonly LedgerEvent[]): Promise<readonly LedgerEvent[]> {
  if (!events.some(({ corrects }) => corrects !== null)) return events
  const found = new Map(events.map((event) => [eventKey(event), event]))
  let missing = findMissingCorrected(found, events)
  while (missing.length > 0) {
    const next = await BY_KEYS(db, [
      missing.map((key) => key.slice(0, key.indexOf('/'))),
      missing.map((key) => key.slice(key.indexOf('/') + 1)),
    ])
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
