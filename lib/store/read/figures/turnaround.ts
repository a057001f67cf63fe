import type pg from 'pg'
import { FEWEST_MAKERS, makerOf } from '@/lib/custody/pooling'
import { DAY } from '@/lib/hold/zone'
import type { LaneRecord } from '@/lib/lane/model/record'
import {
  type LifeSoFar,
  lifeAsKnown,
  PARTS,
  type PartName,
  type PartTimes,
  turnaroundOf,
} from '@/lib/lane/model/turnaround'
import type { Scope } from '@/lib/policy/scope'
import { journeysBy, laneRecord } from '../../projection/laneRecord'
import { asReader } from '../../projection/reader'
import { readJourney } from '../../projection/storedJourney'
import { scopeText } from '../../scope/scope'

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

const YEAR = 365 * DAY

/** What happens at a plant: of another's plant a laboratory's desk is told nothing of it. */
const AT_PLANTS: readonly PartName[] = ['kit out', 'cut', 'ship']

interface LifeOfPlant extends LifeSoFar {
  plant: string
}

type Places = { plant?: string | undefined; laboratory?: string | undefined }

/** Over what `scope` lets see of the samples of `places`, as known at `now` (ms UTC) or, as the record of lanes, a little before. */
export async function turnaround(
  pool: pg.Pool,
  scope: Scope,
  places: Places,
  now: number,
): Promise<Turnaround> {
  const record = await laneRecord(pool, now)
  const key = JSON.stringify([scopeText(scope), places.plant, places.laboratory])
  return keptBy(turnarounds, record, key, () => ownTurnaround(pool, scope, places, record.knownAt))
}

async function ownTurnaround(pool: pg.Pool, scope: Scope, places: Places, asOf: number): Promise<Turnaround> {
  const { lives } = await livesOf(pool, scope, places, asOf)
  const all = turnaroundOf(lives, asOf)
  if (scope === 'all') return { asOf, parts: all }
  const further = all.filter(({ name }) => !AT_PLANTS.includes(name))
  if (scope.plants.length === 0) return { asOf, parts: further }
  const own = lives.filter(({ plant }) => scope.plants.includes(plant))
  const atOwn = own.length === lives.length ? all : turnaroundOf(own, asOf)
  return { asOf, parts: [...atOwn.filter(({ name }) => AT_PLANTS.includes(name)), ...further] }
}

/** Over all plants, for whoever is told only what three makers or more stand behind. */
export async function pooledTurnaround(pool: pg.Pool, now: number): Promise<PooledTurnaround> {
  const record = await laneRecord(pool, now)
  return keptBy(pooledTurnarounds, record, '', () => pooledParts(pool, record.knownAt))
}

async function pooledParts(pool: pg.Pool, asOf: number): Promise<PooledTurnaround> {
  const { lives, maker } = await livesOf(pool, 'all', {}, asOf)
  const makers = [...new Set(lives.map(({ plant }) => maker(plant)))]
  const closedBy = makers.map((one) =>
    turnaroundOf(
      lives.filter(({ plant }) => maker(plant) === one),
      asOf,
    ),
  )
  const all = turnaroundOf(lives, asOf)
  return {
    asOf,
    parts: PARTS.map(({ name }, index) => {
      const behind = closedBy.filter((parts) => (parts[index]?.closed ?? 0) > 0).length
      return { name, times: behind >= FEWEST_MAKERS ? (all[index] as PartTimes) : null }
    }),
  }
}

const turnarounds = new WeakMap<LaneRecord, Map<string, Promise<Turnaround>>>()
const pooledTurnarounds = new WeakMap<LaneRecord, Map<string, Promise<PooledTurnaround>>>()

/** Whatever is kept is kept for one scope and its places; of these there are few, and a filter by hand must not fill the memory. */
const MOST_KEPT = 200

/** What was made beside this record for `key`, or is made now. What failed is not kept. */
function keptBy<T>(
  all: WeakMap<LaneRecord, Map<string, Promise<T>>>,
  record: LaneRecord,
  key: string,
  make: () => Promise<T>,
): Promise<T> {
  const kept = all.get(record) ?? new Map<string, Promise<T>>()
  all.set(record, kept)
  const before = kept.get(key)
  if (before) return before
  if (kept.size >= MOST_KEPT) kept.clear()
  const made = make()
  kept.set(key, made)
  made.catch(() => kept.delete(key))
  return made
}

const ISSUED_SINCE = journeysBy(
  `issued_at > $2 and ($3::text is null or plant = $3) and ($4::text is null or laboratory = $4)
   and product is not null`,
)

/** Spare kits that were not used are nobody's delay. */
function livesOf(
  pool: pg.Pool,
  scope: Scope,
  { plant, laboratory }: Places,
  now: number,
): Promise<{ lives: LifeOfPlant[]; maker: (plant: string) => string }> {
  return asReader(pool, scope, now, async ({ client, register }) => {
    const lives: LifeOfPlant[] = []
    const chunks = ISSUED_SINCE(client, [new Date(now - YEAR), plant ?? null, laboratory ?? null])
    for await (const rows of chunks)
      for (const row of rows) lives.push({ plant: row.plant, ...lifeAsKnown(readJourney(row), now) })
    return { lives, maker: (one) => makerOf(register.plants.get(one)) }
  })
}
