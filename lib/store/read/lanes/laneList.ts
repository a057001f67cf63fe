import type pg from 'pg'
import { z } from 'zod'
import type { Register } from '@/lib/custody/register'
import { getLanes, type Lane, laneKey } from '@/lib/lane/model/lanes'
import type { TransitModel } from '@/lib/lane/model/transitModel'
import type { Scope } from '@/lib/policy/scope'
import { withReadTransaction } from '../../projection/readTransaction'
import { getTransitModel } from '../../projection/transitModelCache'
import { statement } from '../../scope/statement'
import { addLaneNames, computeLaneFigures, type LaneFigures, type NamedLane } from './laneFigures'

/** Codes to filter lanes by; all lanes if none is set. */
export interface LaneFilter {
  plant?: string | undefined
  laboratory?: string | undefined
  service?: string | undefined
}

export interface LaneLine extends NamedLane {
  figures: LaneFigures
}

/** Lanes as known at `asOf` (ms UTC). */
export interface LaneList {
  asOf: number
  isDemo: boolean
  /** The most worrying first. */
  lanes: LaneLine[]
  /** All values of the filters, sorted by name. */
  choices: Record<keyof LaneFilter, { code: string; name: string }[]>
}

const WAYS = statement(
  z.object({ plant: z.string(), laboratory: z.string(), service: z.string().nullable() }),
  "select distinct plant, laboratory, journey ->> 'service' as service from sample where stage is not null and journey is not null",
)

/** The lanes with shipments within `scope`, at `now` (ms UTC). */
export async function readLaneList(
  pool: pg.Pool,
  scope: Scope,
  filter: LaneFilter,
  now: number,
): Promise<LaneList> {
  const model = await getTransitModel(pool, now)
  const { seen, register, isDemo } = await withReadTransaction(pool, scope, now, async (reader) => {
    const ways = await WAYS.all(reader.client)
    return { ...reader, seen: ways.flatMap((lane) => getLanes(model).get(laneKey(lane)) ?? []) }
  })
  const wanted = seen.filter(
    ({ plant, laboratory, service }) =>
      (filter.plant === undefined || plant === filter.plant) &&
      (filter.laboratory === undefined || laboratory === filter.laboratory) &&
      (filter.service === undefined || service === filter.service),
  )
  return {
    asOf: model.knownAt,
    isDemo,
    lanes: (await computeLines(wanted, model, register, scope === 'all')).sort(compareByConcern),
    choices: listChoices(seen, register),
  }
}

/** Computes lanes one by one, and yields to the event loop in between. */
async function computeLines(
  lanes: readonly Lane[],
  model: TransitModel,
  register: Register,
  seesAll: boolean,
): Promise<LaneLine[]> {
  const lines: LaneLine[] = []
  let sliceStartedAt = performance.now()
  for (const lane of lanes) {
    lines.push({
      ...addLaneNames(lane, register),
      figures: computeLaneFigures(lane, model, register, seesAll),
    })
    if (performance.now() - sliceStartedAt < 25) continue
    await new Promise((resolve) => setImmediate(resolve))
    sliceStartedAt = performance.now()
  }
  return lines
}

/**
 * Recently slower lanes first, by how much; then those that break a rule on the slow side; then by the share
 * that never arrives.
 */
function compareByConcern(a: LaneLine, b: LaneLine): number {
  const rank = ({ figures }: LaneLine) => (figures.isNewlySlower ? 0 : figures.slowBreaks.length > 0 ? 1 : 2)
  const slower = ({ figures }: LaneLine) =>
    figures.isNewlySlower ? (figures.pace.change?.shiftDays ?? 0) : 0
  const never = ({ figures: { counts } }: LaneLine) => counts.never / counts.all
  const slow = ({ figures }: LaneLine) => figures.curve?.p90Steps ?? 0
  return (
    rank(a) - rank(b) ||
    slower(b) - slower(a) ||
    never(b) - never(a) ||
    slow(b) - slow(a) ||
    a.plant.name.localeCompare(b.plant.name, 'en')
  )
}

function listChoices(lanes: readonly Lane[], register: Register): LaneList['choices'] {
  const named = lanes.map((lane) => addLaneNames(lane, register))
  const of = (key: keyof LaneFilter) => {
    const names = new Map(named.flatMap((lane) => (lane[key] ? [[lane[key].code, lane[key].name]] : [])))
    return [...names]
      .map(([code, name]) => ({ code: code as string, name: name as string }))
      .sort((a, b) => a.name.localeCompare(b.name, 'en'))
  }
  return { plant: of('plant'), laboratory: of('laboratory'), service: of('service') }
}
