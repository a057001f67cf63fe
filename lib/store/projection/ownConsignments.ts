import { z } from 'zod'
import type { Reporter } from '@/lib/custody/event'
import { statement } from '../scope/statement'
import type { Queryable } from '../scope/transaction'

const OWN_CONSIGNMENTS = statement(
  z.object({ n: z.number() }),
  `select n::int from unnest($1::text[], $2::text[]) with ordinality as asked (service, waybill_key, n)
   where exists (
     select from event e join sample s on s.code = e.sample
     where e.service = asked.service and e.waybill_key = asked.waybill_key and e.sample is not null
       and e.kind = 'dispatched' and e.waybill_key is not null
       and (s.plant = any($3::text[]) or s.laboratory = any($4::text[])))`,
)

/**
 * The consignments that a hand-over of a sample at the reporter's places names. Claims on others are not read: reading them would
 * take longer than for an unknown waybill.
 */
export async function findOwnConsignments<C extends { service: string; waybillKey: string }>(
  db: Queryable,
  consignments: ReadonlyMap<string, C>,
  { plants, laboratories }: Reporter,
): Promise<Map<string, C>> {
  if (consignments.size === 0) return new Map()
  const all = [...consignments]
  const rows = await OWN_CONSIGNMENTS.all(db, [
    all.map(([, { service }]) => service),
    all.map(([, { waybillKey }]) => waybillKey),
    plants ?? [],
    laboratories ?? [],
  ])
  return new Map(rows.flatMap(({ n }) => all.slice(n - 1, n)))
}
