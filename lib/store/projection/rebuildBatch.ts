import type pg from 'pg'
import { z } from 'zod'
import { consignmentKey } from '@/lib/custody/event'
import { findKits, getRegister } from '../ledger/currentRegister'
import { declareEventQuery } from '../ledger/eventLedger'
import { command, statement } from '../scope/statement'
import { derive } from './derive'
import { type RebuildPosition, saveRebuild } from './rebuildProgress'
import { touchBoxes, touchOnly } from './relatedEvents'

/** A due that a rebuild changed; instants in ms UTC, null for none. */
export interface MovedDue {
  code: string
  limit: string
  beforeAt: number | null
  afterAt: number | null
}

export interface RebuiltBatch {
  movedDues: MovedDue[]
  /** Kit codes derived, and how many there were at the start. */
  done: number
  total: number
  isLast: boolean
}

/**
 * Derives the next `size` kit codes of a rebuild at `now` (ms UTC), or after them the next consignments, or last the boxes without
 * a readable code, and saves its new position. Needs a write transaction.
 */
export async function rebuildBatch(
  pool: pg.Pool,
  client: pg.ClientBase,
  position: RebuildPosition,
  size: number,
  now: number,
): Promise<RebuiltBatch> {
  const register = await getRegister(pool, client)
  if (position.afterService === null) {
    const codes = (await CODES.all(client, [position.afterCode, size])).map(({ code }) => code)
    const before = await readDues(client, codes)
    await derive(client, touchOnly(codes), register, now)
    await deleteGone(client, codes)
    const movedDues = findMoved(before, await readDues(client, codes))
    const done = position.done + codes.length
    const last = codes.at(-1)
    const next = last === undefined ? { afterService: '', afterWaybill: '' } : { afterCode: last, done }
    await saveRebuild(client, { ...position, ...next })
    return { movedDues, done, total: position.total, isLast: false }
  }
  const consignments = await LONE_CONSIGNMENTS.all(client, [
    position.afterService,
    position.afterWaybill,
    size,
  ])
  const keys = consignments.map(({ service, waybill_key: waybillKey }) => {
    return [consignmentKey({ service, waybill: waybillKey }) as string, { service, waybillKey }] as const
  })
  await derive(client, touchOnly([], new Map(keys)), register, now)
  const last = consignments.at(-1)
  if (last)
    await saveRebuild(client, { ...position, afterService: last.service, afterWaybill: last.waybill_key })
  else await derive(client, touchBoxes(await BOXES(client)), register, now)
  return { movedDues: [], done: position.done, total: position.total, isLast: !last }
}

/**
 * The next kit codes of the register, of all events and of all rows, known or not. Each part is limited, so that an index
 * finds it.
 */
const CODES = statement(
  z.object({ code: z.string() }),
  `(select distinct code from register_entry where kind = 'kit' and code > $1 order by code limit $2)
   union (select distinct sample from event where sample > $1 order by sample limit $2)
   union (select code from sample where code > $1 order by code limit $2)
   order by 1 limit $2`,
)

/** The next consignments that no dispatch names; the others are derived with the kit codes of their dispatches. */
const LONE_CONSIGNMENTS = statement(
  z.object({ service: z.string(), waybill_key: z.string() }),
  `select distinct service, waybill_key from event e
   where sample is null and (service, waybill_key) > ($1, $2) and not exists (
     select from event d where d.service = e.service and d.waybill_key = e.waybill_key
       and d.sample is not null and d.kind = 'dispatched' and d.waybill_key is not null)
   order by 1, 2 limit $3`,
)

/** All at once: few boxes lose their code, and each is derived by itself. */
const BOXES = declareEventQuery('where e.sample is null and (e.service is null or e.waybill_key is null)')

const DELETE = command('delete from sample where code = any($1)')

/** Deletes the rows of codes that are no kit, or none any more. */
async function deleteGone(client: pg.ClientBase, codes: readonly string[]): Promise<void> {
  const kits = await findKits(client, codes)
  const gone = codes.filter((code) => !kits.has(code))
  if (gone.length > 0) await DELETE.run(client, [gone])
}

const due = z.object({ code: z.string(), limit: z.string(), at: z.number().nullable() })
type Due = z.infer<typeof due>

const DUES = statement(
  due,
  `select code, clock -> 'limit' ->> 'name' as limit, (clock ->> 'dueAt')::float8 as at
   from sample, jsonb_array_elements(clocks) as clock where code = any($1)`,
)

async function readDues(client: pg.ClientBase, codes: readonly string[]): Promise<Map<string, Due>> {
  const rows = await DUES.all(client, [codes])
  return new Map(rows.map((row) => [`${row.code} ${row.limit}`, row]))
}

function findMoved(before: ReadonlyMap<string, Due>, after: ReadonlyMap<string, Due>): MovedDue[] {
  return [...after].flatMap(([key, { code, limit, at }]) => {
    const old = before.get(key)
    return old && old.at !== at ? [{ code, limit, beforeAt: old.at, afterAt: at }] : []
  })
}
