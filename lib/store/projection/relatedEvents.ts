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
  /** Canonical kit codes, known or not. */
  codes: Set<string>
  /** By consignment key. */
  consignments: Map<string, { service: string; waybillKey: string }>
  /** Events added in this transaction, which need no query. */
  added: readonly LedgerEvent[]
  /** The added events and those they correct, directly or through others. */
  chain: readonly LedgerEvent[]
  /**
   * Kit codes on which the reporter of the added events may not report: others' kits, and (undefined) unknown ones. Nothing
   * about them is read, so that the answer takes the same time for both.
   */
  foreign: ReadonlyMap<string, Kit | undefined>
  /** Keys of consignments of the added events that are not touched: they hold no sample on which the reporter may report. */
  hidden: ReadonlySet<string>
  /**
   * The reporter of the added events, if it may report on some samples only and corrects nothing: then no other sample
   * changes, and no earlier event becomes unplaced.
   */
  adder: Reporter | null
  /** If set, only these samples are written: nothing was added, so that others in their consignments stay as they are. */
  written: ReadonlySet<string> | null
}

const NOTHING_HIDDEN = {
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
  const adder = reporter.reporter as Reporter
  const unseen = await findHiddenConsignments(db, touched.consignments, touched, adder)
  for (const key of unseen) touched.consignments.delete(key)
  const isCorrecting = added.some(({ corrects }) => corrects !== null)
  return { ...touched, foreign: elsewhere, hidden: unseen, adder: isCorrecting ? null : adder }
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
 * The touched consignments in which the added events change nothing, since they hold no sample on which the reporter may
 * report. Nothing about them is read, so that another's waybill takes as long as an unknown one.
 */
async function findHiddenConsignments(
  db: Queryable,
  touched: Touched['consignments'],
  { chain, added }: { chain: readonly LedgerEvent[]; added: readonly LedgerEvent[] },
  reporter: Reporter,
): Promise<ReadonlySet<string>> {
  const hidden = new Set(touched.keys())
  // A loop can undo anyone's corrections.
  if (judgeCorrections(chain).looping.size > 0) return new Set()
  const isAdded = new Set(added.map(eventKey))
  const sources = new Set(added.map(({ source }) => source))
  for (const event of chain) {
    // A source may correct its own event that matched nothing; only the consignment shows whether it did.
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
 * The samples whose corrections no longer count because of a loop. They are derived again, whoever closes the loop, except
 * where the looping event's own reporter may not report on the sample: there it counts as an event of an unknown kit.
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
  const sharing = await findDispatchedSamples(db, touched)
  for (const code of sharing) touched.codes.add(code)
  if (sharing.length > 0) take(await readSampleEvents(db, sharing, before))
  take(await readConsignmentEvents(db, touched, found.values()))
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

const DISPATCHES = declareEventQuery(
  `join unnest($1::text[], $2::text[]) as asked (service, waybill_key) using (service, waybill_key)
   where e.sample is not null and e.kind = 'dispatched' and e.waybill_key is not null
     and ($3 or exists (select from sample s where s.code = e.sample
       and (s.plant = any($4::text[]) or s.laboratory = any($5::text[]))))`,
)

/** The other samples in a touched consignment, by dispatches whose reporter may report on them. */
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
  const allowed = further.filter((event) => mayReportOn(event, kits.get(event.sample as string)))
  return [...new Set(allowed.map(({ sample }) => sample as string))]
}

const BY_CONSIGNMENTS = declareEventQuery(
  `join unnest($1::text[], $2::text[]) as asked (service, waybill_key) using (service, waybill_key)
   where e.sample is null`,
)

/** The events of every touched consignment, and of the others that the given dispatches name. */
async function readConsignmentEvents(
  db: Queryable,
  touched: Touched,
  events: Iterable<LedgerEvent>,
): Promise<LedgerEvent[]> {
  const consignments = new Map(touched.consignments)
  for (const event of events) touchConsignment(consignments, event, touched.hidden)
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
const BY_KEYS = declareEventQuery(
  'join unnest($1::text[], $2::text[]) as asked (source, id) using (source, id)',
)

/** The given events and those they correct, directly or through others. */
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
