import type pg from 'pg'
import { consignmentKey, keyOf, type ReadEvent } from '@/lib/custody/event'
import { placeEvents } from '@/lib/custody/placing'
import { isFault, readAt } from '@/lib/custody/reading'
import type { Register } from '@/lib/custody/register'
import { type Sample, sampleOf } from '@/lib/custody/sample'
import { kitsOf } from './currentRegister'
import type { LedgerEvent } from './eventLedger'
import { eventsBearing, type Touched } from './eventsBearing'
import { derivedRow, writeSamples } from './writeSamples'

/**
 * Derives the rows of the touched samples, and which touched events are unplaced, from the ledgers as this
 * transaction sees them, at `now` (ms UTC). Returns the samples. Run it as the writer.
 */
export async function derive(
  client: pg.ClientBase,
  touched: Touched,
  register: Register,
  now: number,
): Promise<Sample[]> {
  const events = await eventsBearing(client, touched)
  const kits = await kitsOf(client, [...touched.codes])
  const read = events.map((event) => readLedgerEvent(event, register))
  const { bySample, unplaced } = placeEvents(read, (code) => kits.has(code), now)
  const samples = [...kits.values()].map((kit) => sampleOf(kit, bySample.get(kit.code) ?? [], register, now))
  await writeSamples(client, samples.map((sample) => derivedRow(sample, register)))
  await writeUnplaced(client, touched, events, unplaced)
  return samples
}

/**
 * An accepted event with its time read against the register as it stands.
 * Errors: Error where it cannot be read any more; the register refuses every change that would bring that about.
 */
export function readLedgerEvent(event: LedgerEvent, register: Register): LedgerEvent & ReadEvent {
  const reading = readAt(event.at, event.zone, register.zoneOfPlace(event.place))
  if (isFault(reading)) throw new Error(`The accepted event ${keyOf(event)} cannot be read: ${reading.detail}`)
  return { ...event, ...reading }
}

async function writeUnplaced(
  client: pg.ClientBase,
  touched: Touched,
  events: readonly LedgerEvent[],
  unplaced: readonly ReadEvent[],
): Promise<void> {
  const isTouched = (event: LedgerEvent) =>
    event.sample === null
      ? touched.consignments.has(consignmentKey(event) as string)
      : touched.codes.has(event.sample)
  const stays = new Set(unplaced.map(keyOf))
  const candidates = events.filter(isTouched)
  const isUnplaced = (event: LedgerEvent) => stays.has(keyOf(event))
  await client.query(
    'delete from unplaced using unnest($1::bigint[]) as placed (seq) where unplaced.event_seq = placed.seq',
    [candidates.filter((event) => !isUnplaced(event)).map(({ seq }) => seq)],
  )
  await client.query('insert into unplaced select * from unnest($1::bigint[]) on conflict do nothing', [
    candidates.filter(isUnplaced).map(({ seq }) => seq),
  ])
}
