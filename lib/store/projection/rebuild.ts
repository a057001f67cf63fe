import type pg from 'pg'
import { z } from 'zod'
import { consignmentKey } from '@/lib/custody/event'
import { getRegister } from '../ledger/currentRegister'
import { setAppMetadata } from '../scope/appMetadata'
import { withScope } from '../scope/scope'
import { command, statement } from '../scope/statement'
import { withWriteTransaction } from '../scope/writer'
import { derive } from './derive'
import { touchSamples } from './relatedEvents'

const BATCH = 5_000

/** The number of samples derived, and the dues that changed. */
export interface RebuildResult {
  samples: number
  movedDues: { code: string; limit: string; beforeAt: number | null; afterAt: number | null }[]
}

const DELETE_UNPLACED = command('delete from unplaced')
const DELETE_SAMPLES = command('delete from sample')
const COUNT = statement(z.object({ count: z.number() }), 'select count(*)::int as count from sample')

/**
 * Recomputes everything from the event and register ledgers, in one transaction. `now` in ms UTC.
 */
export async function rebuild(pool: pg.Pool, now: number): Promise<RebuildResult> {
  return withWriteTransaction(pool, async (client) => {
    const before = await readDues(client)
    const register = await getRegister(pool, client)
    await DELETE_UNPLACED.run(client)
    await DELETE_SAMPLES.run(client)
    const codes = await readAllCodes(client)
    for (let start = 0; start < codes.length; start += BATCH)
      await derive(client, touchSamples(codes.slice(start, start + BATCH)), register, now)
    const consignments = await readAllConsignments(client)
    for (let start = 0; start < consignments.length; start += BATCH)
      await derive(client, touchSamples([], new Map(consignments.slice(start, start + BATCH))), register, now)
    await setAppMetadata(client, 'zone data', getDerivationVersion())
    const after = await readDues(client)
    const movedDues = [...after].flatMap(([key, due]) => {
      const old = before.get(key)
      return old && old.at !== due.at
        ? [{ code: due.code, limit: due.limit, beforeAt: old.at, afterAt: due.at }]
        : []
    })
    const { count } = await COUNT.one(client)
    return { samples: count, movedDues }
  })
}

/** Raise it with every change to the content of a row, so that rows of an older version are derived again. */
const ROWS_VERSION = 8

/** The versions of this process's zone data and of the rows: "2026a, rows 3". */
function getDerivationVersion(): string {
  return `${process.versions.tz ?? 'unknown'}, rows ${ROWS_VERSION}`
}

const ZONE_DATA = statement(
  z.object({ value: z.string() }),
  "select value from app_metadata where name = 'zone data'",
)

/**
 * Derives everything again, as of `now` (ms UTC), if the stored rows come from other zone data (a government may have moved
 * its clocks) or from another version of the rows. Returns null if nothing was rebuilt or nothing was derived before.
 */
export async function ensureDerived(
  pool: pg.Pool,
  now: number,
): Promise<(RebuildResult & { from: string; to: string }) | null> {
  const to = getDerivationVersion()
  const from = (await withScope(pool, 'all', (client) => ZONE_DATA.first(client)))?.value
  if (from === to) return null
  const rebuilt = await rebuild(pool, now)
  return from === undefined ? null : { ...rebuilt, from, to }
}

const DUES = statement(
  z.object({ code: z.string(), limit: z.string(), at: z.number().nullable() }),
  `select code, clock -> 'limit' ->> 'name' as limit, (clock ->> 'dueAt')::float8 as at
   from sample, jsonb_array_elements(clocks) as clock`,
)

async function readDues(client: pg.ClientBase) {
  const rows = await DUES.all(client)
  return new Map(rows.map((row) => [`${row.code} ${row.limit}`, row]))
}

const sampleCode = z.object({ code: z.string() })

const CODES = statement(
  sampleCode,
  `select code from register_entry where kind = 'kit' union select sample from event where sample is not null order by 1`,
)

/** The kit codes of the register and of all events, known or not. */
async function readAllCodes(client: pg.ClientBase): Promise<string[]> {
  const rows = await CODES.all(client)
  return rows.map(({ code }) => code)
}

const CONSIGNMENTS = statement(
  z.object({ service: z.string(), waybill_key: z.string() }),
  'select distinct service, waybill_key from event where sample is null order by 1, 2',
)

async function readAllConsignments(
  client: pg.ClientBase,
): Promise<[string, { service: string; waybillKey: string }][]> {
  const rows = await CONSIGNMENTS.all(client)
  return rows.map(({ service, waybill_key }) => [
    consignmentKey({ service, waybill: waybill_key }) as string,
    { service, waybillKey: waybill_key },
  ])
}
