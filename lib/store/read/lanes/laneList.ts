import type pg from 'pg'
import { z } from 'zod'
import type { Register } from '@/lib/custody/register'
import { type Lane, laneKey, lanesOf } from '@/lib/lane/model/lanesOf'
import type { LaneRecord } from '@/lib/lane/model/record'
import type { Scope } from '@/lib/policy/scope'
import { laneRecord } from '../../projection/laneRecord'
import { asReader } from '../../projection/reader'
import { statement } from '../../scope/statement'
import { type LaneFigures, laneFigures, type NamedLane, namedLane } from './laneFigures'

/** Which lanes are asked for, by codes; all of them where nothing is named. */
export interface LaneFilter {
  plant?: string | undefined
  laboratory?: string | undefined
  service?: string | undefined
}

export interface LaneLine extends NamedLane {
  figures: LaneFigures
}

/** Lanes as they were known at `asOf` (ms UTC). */
export interface LaneList {
  asOf: number
  isDemo: boolean
  /** The most worrying first. */
  lanes: LaneLine[]
  /** Everything that a filter may name, by name. */
  choices: Record<keyof LaneFilter, { code: string; name: string }[]>
}

const WAYS = statement(
  z.object({ plant: z.string(), laboratory: z.string(), service: z.string().nullable() }),
  "select distinct plant, laboratory, journey ->> 'service' as service from sample where stage is not null and journey is not null",
)

/** The lanes by which anything was sent of what `scope` lets see, at `now` (ms UTC). */
export async function laneList(
  pool: pg.Pool,
  scope: Scope,
  filter: LaneFilter,
  now: number,
): Promise<LaneList> {
  const record = await laneRecord(pool, now)
  const { seen, register, isDemo } = await asReader(pool, scope, now, async (reader) => {
    const ways = await WAYS.all(reader.client)
    return { ...reader, seen: ways.flatMap((way) => lanesOf(record).get(laneKey(way)) ?? []) }
  })
  const wanted = seen.filter(
    ({ plant, laboratory, service }) =>
      (filter.plant === undefined || plant === filter.plant) &&
      (filter.laboratory === undefined || laboratory === filter.laboratory) &&
      (filter.service === undefined || service === filter.service),
  )
  return {
    asOf: record.knownAt,
    isDemo,
    lanes: (await linesOf(wanted, record, register, scope === 'all')).sort(byWorry),
    choices: choicesOf(seen, register),
  }
}

/** Works out one lane after another, and lets other work have its turn in between. */
async function linesOf(
  lanes: readonly Lane[],
  record: LaneRecord,
  register: Register,
  seesAll: boolean,
): Promise<LaneLine[]> {
  const lines: LaneLine[] = []
  let turnBegan = performance.now()
  for (const lane of lanes) {
    lines.push({
      ...namedLane(lane, register),
      figures: laneFigures(lane, record, register, seesAll),
    })
    if (performance.now() - turnBegan < 25) continue
    await new Promise((resolve) => setImmediate(resolve))
    turnBegan = performance.now()
  }
  return lines
}

/** Those that became slower of late first, by how much; then those that break a rule on the slow side now; then by how many never arrive. */
function byWorry(a: LaneLine, b: LaneLine): number {
  const rank = ({ figures }: LaneLine) => (figures.isNewlySlower ? 0 : figures.slowBreaks.length > 0 ? 1 : 2)
  const slower = ({ figures }: LaneLine) => (figures.isNewlySlower ? (figures.pace.change?.byDays ?? 0) : 0)
  const never = ({ figures: { counts } }: LaneLine) => counts.never / counts.all
  const slow = ({ figures }: LaneLine) => figures.curve?.ninetiethWithin ?? 0
  return (
    rank(a) - rank(b) ||
    slower(b) - slower(a) ||
    never(b) - never(a) ||
    slow(b) - slow(a) ||
    a.plant.name.localeCompare(b.plant.name, 'en')
  )
}

function choicesOf(lanes: readonly Lane[], register: Register): LaneList['choices'] {
  const named = lanes.map((lane) => namedLane(lane, register))
  const of = (key: keyof LaneFilter) => {
    const names = new Map(named.flatMap((lane) => (lane[key] ? [[lane[key].code, lane[key].name]] : [])))
    return [...names]
      .map(([code, name]) => ({ code: code as string, name: name as string }))
      .sort((a, b) => a.name.localeCompare(b.name, 'en'))
  }
  return { plant: of('plant'), laboratory: of('laboratory'), service: of('service') }
}
