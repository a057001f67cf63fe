import type pg from 'pg'
import { consignmentKey } from '@/lib/custody/event'
import { currentRegister } from '../ledger/currentRegister'
import { inScope } from '../scope/scope'
import { asWriter } from '../scope/writer'
import { derive } from './derive'
import { touching } from './eventsBearing'

const BATCH = 5_000

/** What a rebuild made: samples derived, and of these the dues that are no longer what they were. */
export interface Rebuilt {
  samples: number
  movedDues: { code: string; limit: string; beforeAt: number | null; afterAt: number | null }[]
}

/**
 * Derives everything again from the event and register ledgers, in one transaction, and says which dues moved.
 * `now` in ms UTC.
 */
export async function rebuild(pool: pg.Pool, now: number): Promise<Rebuilt> {
  return asWriter(pool, async (client) => {
    const before = await duesNow(client)
    const register = await currentRegister(pool, client)
    await client.query('delete from unplaced')
    await client.query('delete from sample')
    const codes = await allCodes(client)
    for (let start = 0; start < codes.length; start += BATCH)
      await derive(client, touching(codes.slice(start, start + BATCH)), register, now)
    const consignments = await allConsignments(client)
    for (let start = 0; start < consignments.length; start += BATCH)
      await derive(client, touching([], new Map(consignments.slice(start, start + BATCH))), register, now)
    await client.query(
      `insert into mark values ('zone data', to_jsonb($1::text)) on conflict (name) do update set value = excluded.value`,
      [derivationBasis()],
    )
    const after = await duesNow(client)
    const movedDues = [...after].flatMap(([key, due]) => {
      const old = before.get(key)
      return old && old.at !== due.at
        ? [{ code: due.code, limit: due.limit, beforeAt: old.at, afterAt: due.at }]
        : []
    })
    const { rows } = await client.query<{ count: number }>('select count(*)::int as count from sample')
    return { samples: rows[0]?.count ?? 0, movedDues }
  })
}

/** Raise it with every change of what a row says, so that the rows of an older program are derived again. */
const ROWS_VERSION = 7

/** What rows are derived by: the version of this process's zone data, and of the rows; e.g. "2026a, rows 3". */
export function derivationBasis(): string {
  return `${process.versions.tz ?? 'unknown'}, rows ${ROWS_VERSION}`
}

/**
 * Derives everything again, as of `now` (ms UTC), if the stored rows were derived by other zone data than this process
 * has, since a government may have moved its clocks, or by a program whose rows say something else. Returns what was
 * rebuilt, or null where nothing had to be or nothing was derived before.
 */
export async function ensureDerived(
  pool: pg.Pool,
  now: number,
): Promise<(Rebuilt & { from: string; to: string }) | null> {
  const to = derivationBasis()
  const from = await inScope(pool, 'all', async (client) => {
    const { rows } = await client.query<{ value: string }>("select value from mark where name = 'zone data'")
    return rows[0]?.value
  })
  if (from === to) return null
  const rebuilt = await rebuild(pool, now)
  return from === undefined ? null : { ...rebuilt, from, to }
}

async function duesNow(client: pg.ClientBase) {
  const { rows } = await client.query<{ code: string; limit: string; at: number | null }>(
    `select code, clock -> 'limit' ->> 'name' as limit, (clock ->> 'dueAt')::float8 as at
     from sample, jsonb_array_elements(clocks) as clock`,
  )
  return new Map(rows.map((row) => [`${row.code} ${row.limit}`, row]))
}

/** The codes of all kits and of all events, known or not. */
async function allCodes(client: pg.ClientBase): Promise<string[]> {
  const { rows } = await client.query<{ code: string }>(
    `select code from register_entry where kind = 'kit' union select sample from event where sample is not null order by 1`,
  )
  return rows.map(({ code }) => code)
}

async function allConsignments(
  client: pg.ClientBase,
): Promise<[string, { service: string; waybillKey: string }][]> {
  const { rows } = await client.query<{ service: string; waybill_key: string }>(
    'select distinct service, waybill_key from event where sample is null order by 1, 2',
  )
  return rows.map(({ service, waybill_key }) => [
    consignmentKey({ service, waybill: waybill_key }) as string,
    { service, waybillKey: waybill_key },
  ])
}

/** Derives the samples whose events or limits ahead of time have begun to count by `now` (ms UTC). */
export async function deriveWhatIsDue(pool: pg.Pool, now: number): Promise<number> {
  return asWriter(pool, async (client) => {
    const due = await client.query<{ code: string }>('select code from sample where derive_again_at <= $1', [
      new Date(now),
    ])
    if (due.rows.length === 0) return 0
    await derive(client, touching(due.rows.map(({ code }) => code)), await currentRegister(pool, client), now)
    return due.rows.length
  })
}
