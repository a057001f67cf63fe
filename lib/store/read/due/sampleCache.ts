import type pg from 'pg'
import { mayReportOn } from '@/lib/custody/event'
import { placeEvents } from '@/lib/custody/placing'
import type { Register } from '@/lib/custody/register'
import { deriveSample, type Sample } from '@/lib/custody/sample'
import { findOpenTests } from '@/lib/schedule/occurrences'
import { findKits } from '../../ledger/currentRegister'
import { readLedgerEvent } from '../../projection/derive'
import { findRelatedEvents, touchSamples } from '../../projection/relatedEvents'
import { findActionableSamples } from './actionableSamples'

interface CachedSample {
  sample: Sample
  version: string
  /** From when until when (ms UTC, the end apart) it is the same: no event and no limit begins to count between. */
  fromAt: number
  untilAt: number
}

const cache = new WeakMap<pg.Pool, { register: Register; samples: Map<string, CachedSample> }>()

/**
 * The samples of which something can be owed or overdue at `now` (ms UTC), of some plants or (null) of all, and those they
 * are read with. Each is kept for each pool until it was derived again, so that only what has changed is read. In a
 * transaction that sees everything.
 */
export async function readActionableSamples(
  pool: pg.Pool,
  client: pg.ClientBase,
  register: Register,
  plants: readonly string[] | null,
  now: number,
): Promise<Sample[]> {
  const before = cache.get(pool)
  const keeping =
    before?.register === register ? before : { register, samples: new Map<string, CachedSample>() }
  cache.set(pool, keeping)
  const asking = await findActionableSamples(client, plants, findOpenTests(register, plants, now), now)
  const found = new Map<string, Sample>()
  const stale = asking.filter(({ code, version }) => {
    const one = keeping.samples.get(code)
    if (one?.version !== version || now < one.fromAt || one.untilAt <= now) return true
    // Taken at once: while the others are read, whoever asks as of another time may let go of it.
    found.set(code, one.sample)
    return false
  })
  const read = await deriveSamples(
    client,
    stale.map(({ code }) => code),
    register,
    now,
  )
  for (const { code, version } of stale) {
    const sample = read.get(code)
    if (!sample) continue
    found.set(code, sample)
    keeping.samples.set(code, toCachedSample(sample, version, register, now))
  }
  const samples = asking.flatMap(({ code }) => found.get(code) ?? [])
  if (plants === null) evictOthers(keeping.samples, samples)
  return samples
}

/** What asks for nothing any more is not kept. */
function evictOthers(keeping: Map<string, CachedSample>, samples: readonly Sample[]): void {
  const asking = new Set(samples.map(({ kit }) => kit.code))
  for (const code of keeping.keys()) if (!asking.has(code)) keeping.delete(code)
}

function toCachedSample(sample: Sample, version: string, register: Register, now: number): CachedSample {
  const made = register.findProduct(sample.kit.plant, sample.product)
  const turns = [
    ...sample.events.map(({ event }) => event.earliestAt),
    ...(made === null ? [] : register.listLimits(made.code)).map(({ holdsFromAt }) => holdsFromAt),
  ]
  return {
    sample,
    version,
    fromAt: Math.max(Number.NEGATIVE_INFINITY, ...turns.filter((at) => at <= now)),
    untilAt: Math.min(Number.POSITIVE_INFINITY, ...turns.filter((at) => at > now)),
  }
}

async function deriveSamples(
  client: pg.ClientBase,
  codes: readonly string[],
  register: Register,
  now: number,
): Promise<Map<string, Sample>> {
  if (codes.length === 0) return new Map()
  const touched = touchSamples(codes)
  const events = (await findRelatedEvents(client, touched)).map((event) => readLedgerEvent(event, register))
  const kits = await findKits(client, [...touched.codes])
  const { bySample } = placeEvents(
    events,
    (code) => kits.has(code),
    now,
    (event, code) => mayReportOn(event, kits.get(code)),
  )
  return new Map(
    codes.flatMap((code) => {
      const kit = kits.get(code)
      return kit ? [[code, deriveSample(kit, bySample.get(code) ?? [], register, now)] as const] : []
    }),
  )
}
