import type pg from 'pg'
import type { Register } from '@/lib/custody/register'
import { deriveSample, type Sample } from '@/lib/custody/sample'
import { findOpenTests } from '@/lib/schedule/occurrences'
import { placeLedgerEvents } from '../../projection/placeLedgerEvents'
import { findRelatedEvents, touchSamples } from '../../projection/relatedEvents'
import { findActionableSamples } from './actionableSamples'

interface CachedSample {
  sample: Sample
  version: string
}

const cache = new WeakMap<pg.Pool, { register: Register; samples: Map<string, CachedSample> }>()

/**
 * The samples that can have something owed or overdue at `now` (ms UTC), of some plants or (null) of all, and those they
 * replace or are replaced by. A cache per pool keeps each until its row is written again, so only changes are read. The
 * transaction must see everything.
 */
export async function readActionableSamples(
  pool: pg.Pool,
  client: pg.ClientBase,
  register: Register,
  plants: readonly string[] | null,
  now: number,
  also: readonly string[] = [],
): Promise<Sample[]> {
  const before = cache.get(pool)
  const current =
    before?.register === register ? before : { register, samples: new Map<string, CachedSample>() }
  cache.set(pool, current)
  const actionable = await findActionableSamples(
    client,
    plants,
    findOpenTests(register, plants, now),
    now,
    also,
  )
  const found = new Map<string, Sample>()
  const stale = actionable.filter(({ code, version }) => {
    const one = current.samples.get(code)
    if (one?.version !== version || !holdsAt(one.sample, now)) return true
    // Take it now: while the others are read, a call as of another time may evict it.
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
    current.samples.set(code, { sample, version })
  }
  const samples = actionable.flatMap(({ code }) => found.get(code) ?? [])
  if (plants === null) evictOthers(current.samples, samples)
  return samples
}

/** Removes samples that are no longer actionable. */
function evictOthers(current: Map<string, CachedSample>, samples: readonly Sample[]): void {
  const actionable = new Set(samples.map(({ kit }) => kit.code))
  for (const code of current.keys()) if (!actionable.has(code)) current.delete(code)
}

/** Whether a sample that was derived once is the same at `now` (ms UTC): no event and no limit takes effect between. */
function holdsAt({ holdsFromAt, deriveAgainAt }: Sample, now: number): boolean {
  return (holdsFromAt === null || holdsFromAt <= now) && (deriveAgainAt === null || now < deriveAgainAt)
}

/** Events that are held at once while samples are derived, about: a sample can have thousands. */
const EVENTS_AT_ONCE = 2_000
const FIRST_BATCH = 2

/** Derives samples, by kit code, in a transaction that must see everything. In batches: each has as many as would have had so many events in the one before, but at most four times its number. */
export async function deriveSamples(
  client: pg.ClientBase,
  codes: readonly string[],
  register: Register,
  now: number,
): Promise<Map<string, Sample>> {
  const derived = new Map<string, Sample>()
  for (let done = 0, size = FIRST_BATCH; done < codes.length; ) {
    const batch = codes.slice(done, done + size)
    const events = await findRelatedEvents(client, touchSamples(batch))
    const { kits, bySample } = await placeLedgerEvents(client, events, register, now, { codes: batch })
    for (const code of batch) {
      const kit = kits.get(code)
      if (!kit) continue
      // Its events would be most of what the cache holds, and only its own page shows them.
      const { events: _, ...sample } = deriveSample(kit, bySample.get(code) ?? [], register, now)
      derived.set(code, sample)
    }
    done += batch.length
    const fitting = Math.floor((size * EVENTS_AT_ONCE) / Math.max(1, events.length))
    size = Math.max(1, Math.min(fitting, 4 * size))
  }
  return derived
}
