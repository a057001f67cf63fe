import type pg from 'pg'
import { getMaker, MIN_MAKERS } from '@/lib/custody/pooling'
import { DAY } from '@/lib/hold/zone'
import type { TransitModel } from '@/lib/lane/model/transitModel'
import {
  computeTurnaround,
  findLifeAt,
  type LifeSoFar,
  PARTS,
  type PartName,
  type PartTimes,
} from '@/lib/lane/model/turnaround'
import type { Scope } from '@/lib/policy/scope'
import { withReadTransaction } from '../../projection/readTransaction'
import { readJourney } from '../../projection/storedJourney'
import { declareJourneys, getTransitModel } from '../../projection/transitModelCache'
import { formatScope } from '../../scope/scope'

/** Durations of the stages of samples whose kits were issued in the last year, as of `asOf` (ms UTC). */
export interface Turnaround {
  asOf: number
  parts: PartTimes[]
}

/** The same over all makers; durations are null if fewer than three makers contribute. */
export interface PooledTurnaround {
  asOf: number
  parts: { name: PartName; times: PartTimes | null }[]
}

const YEAR_MS = 365 * DAY

/** Stages at a plant. A laboratory’s desk does not see them of plants that are not its own. */
const PLANT_PARTS: readonly PartName[] = ['kit out', 'cut', 'ship']

interface PlantSample extends LifeSoFar {
  plant: string
}

type Places = { plant?: string | undefined; laboratory?: string | undefined }

/** The turnaround of the samples of `places` in `scope`, as of the cached transit model, so slightly before `now` (ms UTC). */
export async function getTurnaround(
  pool: pg.Pool,
  scope: Scope,
  places: Places,
  now: number,
): Promise<Turnaround> {
  const model = await getTransitModel(pool, now)
  const key = JSON.stringify([formatScope(scope), places.plant, places.laboratory])
  return getCached(turnarounds, model, key, () => loadTurnaround(pool, scope, places, model.knownAt))
}

async function loadTurnaround(
  pool: pg.Pool,
  scope: Scope,
  places: Places,
  asOf: number,
): Promise<Turnaround> {
  const { samples } = await readSamples(pool, scope, places, asOf)
  const all = computeTurnaround(samples, asOf)
  if (scope === 'all') return { asOf, parts: all }
  const further = all.filter(({ name }) => !PLANT_PARTS.includes(name))
  if (scope.plants.length === 0) return { asOf, parts: further }
  const own = samples.filter(({ plant }) => scope.plants.includes(plant))
  const atOwn = own.length === samples.length ? all : computeTurnaround(own, asOf)
  return { asOf, parts: [...atOwn.filter(({ name }) => PLANT_PARTS.includes(name)), ...further] }
}

/** The turnaround over all plants; only stages to which three makers or more contribute. */
export async function getPooledTurnaround(pool: pg.Pool, now: number): Promise<PooledTurnaround> {
  const model = await getTransitModel(pool, now)
  return getCached(pooledTurnarounds, model, '', () => computePooledTurnaround(pool, model.knownAt))
}

async function computePooledTurnaround(pool: pg.Pool, asOf: number): Promise<PooledTurnaround> {
  const { samples, maker } = await readSamples(pool, 'all', {}, asOf)
  const makers = [...new Set(samples.map(({ plant }) => maker(plant)))]
  const closedBy = makers.map((one) =>
    computeTurnaround(
      samples.filter(({ plant }) => maker(plant) === one),
      asOf,
    ),
  )
  const all = computeTurnaround(samples, asOf)
  return {
    asOf,
    parts: PARTS.map(({ name }, index) => {
      const behind = closedBy.filter((parts) => (parts[index]?.closed ?? 0) > 0).length
      return { name, times: behind >= MIN_MAKERS ? (all[index] as PartTimes) : null }
    }),
  }
}

const turnarounds = new WeakMap<TransitModel, Map<string, Promise<Turnaround>>>()
const pooledTurnarounds = new WeakMap<TransitModel, Map<string, Promise<PooledTurnaround>>>()

/** Entries are per scope and places, which are few; the limit keeps filters written by hand from filling the memory. */
const MAX_CACHED = 200

/** The entry for `key` beside a transit model; computed if missing. Failures are not cached. */
function getCached<T>(
  all: WeakMap<TransitModel, Map<string, Promise<T>>>,
  model: TransitModel,
  key: string,
  make: () => Promise<T>,
): Promise<T> {
  const entries = all.get(model) ?? new Map<string, Promise<T>>()
  all.set(model, entries)
  const before = entries.get(key)
  if (before) return before
  if (entries.size >= MAX_CACHED) entries.clear()
  const made = make()
  entries.set(key, made)
  made.catch(() => entries.delete(key))
  return made
}

const ISSUED_SINCE = declareJourneys(
  `issued_at > $2 and ($3::text is null or plant = $3) and ($4::text is null or laboratory = $4)
   and product is not null`,
)

/** Excludes unused spare kits, which delay nothing. */
function readSamples(
  pool: pg.Pool,
  scope: Scope,
  { plant, laboratory }: Places,
  now: number,
): Promise<{ samples: PlantSample[]; maker: (plant: string) => string }> {
  return withReadTransaction(pool, scope, now, async ({ client, register }) => {
    const samples: PlantSample[] = []
    const chunks = ISSUED_SINCE(client, [new Date(now - YEAR_MS), plant ?? null, laboratory ?? null])
    for await (const rows of chunks)
      for (const row of rows) samples.push({ plant: row.plant, ...findLifeAt(readJourney(row), now) })
    return { samples, maker: (one) => getMaker(register.plants.get(one)) }
  })
}
