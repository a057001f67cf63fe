import { judgeCorrections } from '@/lib/custody/corrections'
import { consignmentKey, keyOf, type Reporter } from '@/lib/custody/event'
import type { LedgerEvent } from '../ledger/eventLedger'
import type { Queryable } from '../scope/transaction'

/** Service and waybill of consignments, by their comparable key. */
export type Consignments = ReadonlyMap<string, { service: string; waybillKey: string }>

/**
 * The touched consignments in which the added events change nothing, since no sample of which their reporter may speak
 * travels in them. Nothing of these is read, so that another's waybill takes the time of one that is nobody's.
 * `chain` is the added events and those they correct, in a chain.
 */
export async function hiddenConsignments(
  db: Queryable,
  touched: Consignments,
  { chain, added }: { chain: readonly LedgerEvent[]; added: readonly LedgerEvent[] },
  reporter: Reporter,
): Promise<ReadonlySet<string>> {
  const hidden = new Set(touched.keys())
  // A loop undoes corrections of anybody's.
  if (judgeCorrections(chain).looping.size > 0) return new Set()
  const isAdded = new Set(added.map(keyOf))
  const sources = new Set(added.map(({ source }) => source))
  for (const event of chain) {
    // A source may put right its own slip that fits nothing, and whether it fits nothing the consignment tells.
    const isOwnSlip = event.sample === null && !isAdded.has(keyOf(event)) && sources.has(event.source)
    if (isOwnSlip) hidden.delete(consignmentKey(event) as string)
  }
  const all = [...touched]
  const { rows } = await db.query<{ n: number }>(
    `select n::int from unnest($1::text[], $2::text[]) with ordinality as asked (service, waybill_key, n)
     where exists (
       select from event e join sample s on s.code = e.sample
       where e.service = asked.service and e.waybill_key = asked.waybill_key and e.sample is not null
         and e.kind = 'dispatched' and e.waybill_key is not null
         and (s.plant = any($3::text[]) or s.laboratory = any($4::text[])))`,
    [
      all.map(([, { service }]) => service),
      all.map(([, { waybillKey }]) => waybillKey),
      reporter.plants ?? [],
      reporter.laboratories ?? [],
    ],
  )
  for (const { n } of rows) hidden.delete(all[n - 1]?.[0] as string)
  return hidden
}
