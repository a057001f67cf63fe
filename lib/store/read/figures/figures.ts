import type pg from 'pg'
import { z } from 'zod'
import { getMaker, type MakerCount, type PooledGroup, poolOverMakers } from '@/lib/custody/pooling'
import { OPEN_STANDINGS, type OpenStanding } from '@/lib/hold/standing'
import { withReadTransaction } from '../../projection/readTransaction'
import { STANDING_SQL } from '../../projection/sampleConditions'
import { SCORED_SAMPLES } from '../../projection/storedForecast'
import { statement } from '../../scope/statement'
import type { Queryable } from '../../scope/transaction'

const SETTLED_FIGURES = ['kept', 'kept by extension', 'lapsed', 'ended', 'unproven'] as const
export type SettledFigure = (typeof SETTLED_FIGURES)[number]

/** The whole programme at `asOf` (ms UTC). No figure is of a single plant or maker. */
export interface Figures {
  asOf: number
  isDemo: boolean
  open: PooledGroup<OpenStanding>
  /** How samples settled in each UTC month ("2026-11"), newest first. */
  months: { month: string; settled: PooledGroup<SettledFigure> }[]
}

const MONTHS = 12

/** The figures over all plants at `now` (ms UTC), pooled here: figures of one plant never leave this function. */
export async function getFigures(pool: pg.Pool, now: number): Promise<Figures> {
  return withReadTransaction(pool, 'all', now, async ({ client, register, isDemo }) => {
    const maker = (plant: string) => getMaker(register.plants.get(plant))
    return {
      asOf: now,
      isDemo,
      open: await getOpenFigures(client, maker, now),
      months: await getMonthFigures(client, maker, now),
    }
  })
}

type FindMaker = (plant: string) => string

/** Pools rows of plant, name and count. */
function poolCounts<Name extends string>(
  names: readonly Name[],
  rows: readonly { plant: string; name: Name; count: number }[],
  maker: FindMaker,
): PooledGroup<Name> {
  const count = (name: Name): MakerCount[] =>
    rows.filter((row) => row.name === name).map(({ plant, count }) => ({ maker: maker(plant), count }))
  return poolOverMakers(names.map((name) => ({ name, makers: count(name) })))
}

const OPEN = statement(
  z.object({ plant: z.string(), name: z.enum(OPEN_STANDINGS), count: z.number() }),
  `select plant, ${STANDING_SQL} as name, count(*)::int as count from ${SCORED_SAMPLES} where settled is null group by 1, 2`,
)

async function getOpenFigures(
  db: Queryable,
  maker: FindMaker,
  now: number,
): Promise<PooledGroup<OpenStanding>> {
  return poolCounts(OPEN_STANDINGS, await OPEN.all(db, [new Date(now)]), maker)
}

const SETTLED = statement(
  z.object({ plant: z.string(), month: z.string(), name: z.enum(SETTLED_FIGURES), count: z.number() }),
  `select plant, to_char(settled_at, 'YYYY-MM') as month,
     case when settled = 'kept' and exists (
         select from jsonb_array_elements(clocks) as clock
         where (clock ->> 'stoppedAt')::numeric > (clock ->> 'firstDueAt')::numeric)
       then 'kept by extension' else settled end as name,
     count(*)::int as count
   from sample
   where settled is not null and settled_at <= $1
     and settled_at >= date_trunc('month', $1::timestamptz) - make_interval(months => ${MONTHS - 1})
   group by 1, 2, 3`,
)

async function getMonthFigures(db: Queryable, maker: FindMaker, now: number): Promise<Figures['months']> {
  const rows = await SETTLED.all(db, [new Date(now)])
  const months = [...new Set(rows.map(({ month }) => month))].sort().reverse()
  return months.map((month) => ({
    month,
    settled: poolCounts(
      SETTLED_FIGURES,
      rows.filter((row) => row.month === month),
      maker,
    ),
  }))
}
