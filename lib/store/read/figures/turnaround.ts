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

/** How long the parts of samples' ways take, over the kits issued in the last year, as of `asOf` (ms UTC). */
export interface Turnaround {
  asOf: number
  parts: PartTimes[]
}

/** The same over all makers; times are null where fewer than three makers stand behind them. */
export interface PooledTurnaround {
  asOf: number
  parts: { name: PartName; times: PartTimes | null }[]
}

const YEAR_MS = 365 * DAY

/** What happens at a plant: of another's plant a laboratory's desk is told nothing of it. */
const PLANT_PARTS: readonly PartName[] = ['kit out', 'cut', 'ship']

interface PlantLife extends LifeSoFar {
  plant: string
}

type Places = { plant?: string | undefined; laboratory?: string | undefined }

/** Over what `scope` lets see of the samples of `places`, as known at `now` (ms UTC) or, as the record of lanes, a little before. */
export async function getTurnaround(
  pool: pg.Pool,
  scope: Scope,
  places: Places,
  now: number,
): Promise<Turnaround> {
  const record = await getTransitModel(pool, now)
  const key = JSON.stringify([formatScope(scope), places.plant, places.laboratory])
  return getCached(turnarounds, record, key, () => loadTurnaround(pool, scope, places, record.knownAt))
}

async function loadTurnaround(
  pool: pg.Pool,
  scope: Scope,
  places: Places,
  asOf: number,
): Promise<Turnaround> {
  const { lives } = await readLives(pool, scope, places, asOf)
  const all = computeTurnaround(lives, asOf)
  if (scope === 'all') return { asOf, parts: all }
  const further = all.filter(({ name }) => !PLANT_PARTS.includes(name))
  if (scope.plants.length === 0) return { asOf, parts: further }
  const own = lives.filter(({ plant }) => scope.plants.includes(plant))
  const atOwn = own.length === lives.length ? all : computeTurnaround(own, asOf)
  return { asOf, parts: [...atOwn.filter(({ name }) => PLANT_PARTS.includes(name)), ...further] }
}

/** Over all plants, for whoever is told only what three makers or more stand behind. */
export async function getPooledTurnaround(pool: pg.Pool, now: number): Promise<PooledTurnaround> {
  const record = await getTransitModel(pool, now)
  return getCached(pooledTurnarounds, record, '', () => computePooledTurnaround(pool, record.knownAt))
}

async function computePooledTurnaround(pool: pg.Pool, asOf: number): Promise<PooledTurnaround> {
  const { lives, maker } = await readLives(pool, 'all', {}, asOf)
  const makers = [...new Set(lives.map(({ plant }) => maker(plant)))]
  const closedBy = makers.map((one) =>
    computeTurnaround(
      lives.filter(({ plant }) => maker(plant) === one),
      asOf,
    ),
  )
  const all = computeTurnaround(lives, asOf)
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

/** Whatever is kept is kept for one scope and its places; of these there are few, and a filter by hand must not fill the memory. */
const MAX_CACHED = 200

/** What was made beside this record for `key`, or is made now. What failed is not kept. */
function getCached<T>(
  all: WeakMap<TransitModel, Map<string, Promise<T>>>,
  record: TransitModel,
  key: string,
  make: () => Promise<T>,
): Promise<T> {
  const kept = all.get(record) ?? new Map<string, Promise<T>>()
  all.set(record, kept)
  const before = kept.get(key)
  if (before) return before
  if (kept.size >= MAX_CACHED) kept.clear()
  const made = make()
  kept.set(key, made)
  made.catch(() => kept.delete(key))
  return made
}

const ISSUED_SINCE = declareJourneys(
  `issued_at > $2 and ($3::text is null or plant = $3) and ($4::text is null or laboratory = $4)
   and product is not null`,
)

/** Spare kits that were not used are nobody's delay. */
function readLives(
  pool: pg.Pool,
  scope: Scope,
  { plant, laboratory }: Places,
  now: number,
): Promise<{ lives: PlantLife[]; maker: (plant: string) => string }> {
  return withReadTransaction(pool, scope, now, async ({ client, register }) => {
    const lives: PlantLife[] = []
    const chunks = ISSUED_SINCE(client, [new Date(now - YEAR_MS), plant ?? null, laboratory ?? null])
    for await (const rows of chunks)
      for (const row of rows) lives.push({ plant: row.plant, ...findLifeAt(readJourney(row), now) })
    return { lives, maker: (one) => getMaker(register.plants.get(one)) }
  })
}
