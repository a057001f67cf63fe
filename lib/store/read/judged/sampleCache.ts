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
  /** Valid from `fromAt` until before `untilAt`, ms UTC: no event and no limit begins to count between. */
  fromAt: number
  untilAt: number
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
    if (one?.version !== version || now < one.fromAt || one.untilAt <= now) return true
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
    current.samples.set(code, toCachedSample(sample, version, register, now))
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

function toCachedSample(sample: Sample, version: string, register: Register, now: number): CachedSample {
  const made = register.findProduct(sample.kit.plant, sample.product)
  const boundaries = [
    ...sample.events.map(({ event }) => event.earliestAt),
    ...(made === null ? [] : register.listLimits(made.code)).map(({ holdsFromAt }) => holdsFromAt),
  ]
  return {
    sample,
    version,
    fromAt: Math.max(Number.NEGATIVE_INFINITY, ...boundaries.filter((at) => at <= now)),
    untilAt: Math.min(Number.POSITIVE_INFINITY, ...boundaries.filter((at) => at > now)),
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
  const events = await findRelatedEvents(client, touched)
  const { kits, bySample } = await placeLedgerEvents(client, events, register, now, { codes })
  return new Map(
    codes.flatMap((code) => {
      const kit = kits.get(code)
      return kit ? [[code, deriveSample(kit, bySample.get(code) ?? [], register, now)] as const] : []
    }),
  )
}
