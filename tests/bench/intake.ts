import type pg from 'pg'
import { toCanonical } from '@/lib/custody/kitCode'
import { readWireEvent } from '@/lib/intake/formats/wireEvent'
import { hashContent } from '@/lib/store/ledger/eventLedger'
import { applyRegister } from '@/lib/store/register/changeRegister'
import { withScope } from '@/lib/store/scope/scope'
import { makeTestKey } from '@/tests/setup/apiKey'
import type { BenchEngine } from './benchServer'
import { type Comparison, compareAsync } from './compare'
import { makeManyEvents, makeManyKits } from './manyEvents'

const EVENTS = 100_000
const SAMPLES = 12_500
const ONE_BY_ONE = 300

/** As many as a body may have. */
const BODY_EVENTS = 20_000

/**
 * Sends 100,000 events in five bodies of NDJSON over HTTP, each answered and derived, against a multi-row INSERT of the same ledger
 * rows with pg; and one event at a time, against a route that does nothing.
 */
export async function benchIntake(engine: BenchEngine): Promise<Comparison[]> {
  const { url, pool, authPool } = await engine.database('bench_intake')
  const rounds = Array.from({ length: ROUNDS + 1 }, (_, n) => `r${n} desk`)
  const secret = await makeTestKey({ authPool }, { sources: [...rounds, 'single desk'] })
  const headers = { authorization: `Bearer ${secret}` }
  // Measures speed, so the rate limit is lifted.
  process.env.HOLDFAST_REQUESTS_A_MINUTE = '1000000'
  const raw = await engine.database('bench_raw')
  const address = await engine.serve(url)
  const register = makeManyKits(SAMPLES, 1)
  await applyRegister(pool, register, Date.now())
  const codes = register.kits.map(({ code }) => code)
  let round = 0
  const bodies = new Map<number, string[]>()
  const buildBodies = (n: number) => {
    const lines = makeManyEvents(codes, EVENTS, `r${n}`).map((event) => JSON.stringify(event))
    return Array.from({ length: EVENTS / BODY_EVENTS }, (_, part) =>
      lines.slice(part * BODY_EVENTS, (part + 1) * BODY_EVENTS).join('\n'),
    )
  }
  const rowsByRun = new Map<number, unknown[][]>()
  for (let n = 0; n < ROUNDS + 1; n += 1) {
    bodies.set(n, buildBodies(n))
    rowsByRun.set(n, makeManyEvents(codes, EVENTS, `r${n}`).map(ledgerRow))
  }
  let rawRound = 0
  const bulk = await compareAsync(
    'intake of 100,000 events',
    {
      name: 'NDJSON over HTTP, each answered',
      count: EVENTS,
      run: async () => {
        for (const body of bodies.get(round++) as string[]) await post(address, headers, body, BODY_EVENTS)
      },
    },
    {
      name: 'INSERT of the same rows by pg',
      count: EVENTS,
      run: () => insertRows(raw.pool, rowsByRun.get(rawRound++) as unknown[][]),
    },
    { aim: 'half as fast as the raw INSERT', aimRatio: 0.5, rounds: ROUNDS },
  )
  const single = makeManyEvents(codes, ONE_BY_ONE * 20, 'single')
  let next = 0
  const one = await compareAsync(
    'one event over HTTP',
    {
      name: 'one event, on disk and derived',
      count: ONE_BY_ONE,
      run: async () => {
        for (let n = 0; n < ONE_BY_ONE; n += 1)
          await post(address, headers, JSON.stringify(single[next++]), 1)
      },
    },
    {
      name: 'a route that does nothing',
      count: ONE_BY_ONE,
      run: async () => {
        for (let n = 0; n < ONE_BY_ONE; n += 1)
          await (
            await fetch(`${address}/api/health`, { method: 'POST', body: JSON.stringify(single[n]) })
          ).text()
      },
    },
    { aim: 'none set' },
  )
  return [bulk, one]
}

const ROUNDS = 3

async function post(
  address: string,
  headers: Record<string, string>,
  body: string,
  expected: number,
): Promise<void> {
  const response = await fetch(`${address}/api/events`, {
    method: 'POST',
    headers: { ...headers, 'content-type': 'application/x-ndjson' },
    body,
  })
  const answer = (await response.json()) as { accepted: number }
  if (answer.accepted !== expected) throw new Error(`${answer.accepted} of ${expected} events were accepted`)
}

const COLUMNS = [
  'source',
  'id',
  'sample',
  'kind',
  'at',
  'zone',
  'place',
  'service',
  'waybill',
  'waybill_key',
  'product',
  'lot',
  'corrects',
  'facts',
  'reported_at',
  'digest',
]

function ledgerRow(raw: Record<string, string>): unknown[] {
  const read = readWireEvent(raw, () => 'UTC')
  if (!('event' in read)) throw new Error('A bench event is refused')
  const { event } = read
  const { source, id, sample, kind, at, zone, place, service, waybill, product, lot, corrects } = event
  const key = waybill === null ? null : toCanonical(waybill)
  return [
    source,
    id,
    sample,
    kind,
    at,
    zone,
    place,
    service,
    waybill,
    key,
    product,
    lot,
    corrects,
    null,
    null,
    Buffer.from(hashContent(event), 'hex'),
  ]
}

/** One transaction, with as many rows per statement as the protocol's 65,535 parameters allow. */
async function insertRows(pool: pg.Pool, rows: unknown[][]): Promise<void> {
  const batch = Math.floor(65_535 / COLUMNS.length)
  await withScope(pool, 'all', async (client) => {
    for (let start = 0; start < rows.length; start += batch) {
      const part = rows.slice(start, start + batch)
      const places = part.map(
        (_, row) => `(${COLUMNS.map((_column, index) => `$${row * COLUMNS.length + index + 1}`).join(',')})`,
      )
      await client.query(`insert into event (${COLUMNS.join(',')}) values ${places.join(',')}`, part.flat())
    }
  })
}
