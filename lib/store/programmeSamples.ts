import type pg from 'pg'
import { maySpeakOf } from '@/lib/custody/event'
import { placeEvents } from '@/lib/custody/placing'
import type { Register } from '@/lib/custody/register'
import { type Sample, sampleOf } from '@/lib/custody/sample'
import { DAY } from '@/lib/hold/zone'
import { firstOwedFrom } from '@/lib/schedule/dutySamples'
import { kitsOf } from './currentRegister'
import { readLedgerEvent } from './derive'
import { eventsBearing, touching } from './eventsBearing'
import { instantText } from './instantText'

interface KeptSamples {
  register: Register
  position: string
  day: number
  samples: readonly Sample[]
  /** When an event ahead of its time begins to count in one of them, ms UTC. */
  deriveAgainAt: number
}

const kept = new WeakMap<pg.Pool, KeptSamples>()

/**
 * The samples of which something can be owed or overdue at `now` (ms UTC): those without a report, those that failed,
 * those with a deviation, those that may be the test that a duty asks for now, and what these replace or are replaced
 * by, and the last of each product that holds. Kept for each pool until the ledgers have grown. In a transaction that sees everything.
 */
export async function programmeSamples(
  pool: pg.Pool,
  client: pg.ClientBase,
  register: Register,
  now: number,
): Promise<readonly Sample[]> {
  const { rows } = await client.query<{ position: string }>(
    `select concat_ws(' ', (select max(seq) from register_entry), (select max(seq) from event)) as position`,
  )
  const position = (rows[0] as { position: string }).position
  const day = Math.floor(now / DAY)
  const before = kept.get(pool)
  if (
    before?.register === register &&
    before.position === position &&
    before.day === day &&
    now < before.deriveAgainAt
  )
    return before.samples
  const samples = await readSamples(client, register, now)
  const deriveAgainAt = Math.min(...samples.map((one) => one.deriveAgainAt ?? Number.POSITIVE_INFINITY))
  kept.set(pool, { register, position, day, samples, deriveAgainAt })
  return samples
}

async function readSamples(client: pg.ClientBase, register: Register, now: number): Promise<Sample[]> {
  const since = [...firstOwedFrom(register, now)]
  const { rows } = await client.query<{ code: string }>(WANTED, [
    since.map(([product]) => product),
    since.map(([, at]) => instantText(at)),
  ])
  const codes = rows.map(({ code }) => code)
  const touched = touching(codes)
  const events = (await eventsBearing(client, touched)).map((event) => readLedgerEvent(event, register))
  const kits = await kitsOf(client, [...touched.codes])
  const { bySample } = placeEvents(
    events,
    (code) => kits.has(code),
    now,
    (event, code) => maySpeakOf(event, kits.get(code)),
  )
  return codes.flatMap((code) => {
    const kit = kits.get(code)
    return kit ? [sampleOf(kit, bySample.get(code) ?? [], register, now)] : []
  })
}

const WANTED = `with recursive wanted as (
    select code, replaces, replaced_by from sample where code in (
      select code from sample where stage is distinct from 'reported' and ending is distinct from 'cancelled'
      union select code from sample where settled = 'lapsed'
      union select sample from event where kind = 'deviation' and sample is not null
      union select code from sample join unnest($1::text[], $2::timestamptz[]) as owed (product, since) using (product)
        where issued_at >= since
      union (select distinct on (plant, product) code from sample where stage = 'reported' and settled <> 'lapsed'
        and purpose in ('first', 're-collection') and (ending is null or ending = 'cancelled')
        and not exists (select from event where event.sample = sample.code and kind = 'deviation')
        order by plant, product, issued_at desc))
    union
    select other.code, other.replaces, other.replaced_by from wanted
      join sample other on other.code = wanted.replaces or other.code = wanted.replaced_by or other.replaces = wanted.code
  ) select code from wanted order by code`
