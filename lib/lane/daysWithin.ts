import type { LaneRecord, StageRecord } from './record'
import { levelsOf, type Stage, type Way } from './stage'
import type { CurveStep } from './survivalCurve'

/** With fewer arrivals than this over all lanes nothing is said of any. Chosen, no source. */
const LEAST_ARRIVALS = 10

const curves = new WeakMap<StageRecord, Map<string, readonly CurveStep[]>>()

/**
 * In how many steps (open days after that on which the stage began) at least `share` of those who go a way have done
 * a stage; a way with a thin record borrows from the wider ones, as a forecast does. Null where so many never do, and
 * where too few have done it anywhere.
 */
export function daysWithin(record: LaneRecord, stage: Stage, way: Way, share: number): number | null {
  const found = record.of(stage)
  const arrived = found.observations.reduce((sum, one) => sum + (one.hasArrived ? one.weight : 0), 0)
  if (arrived < LEAST_ARRIVALS - 1e-9) return null
  const known = curves.get(found) ?? new Map<string, readonly CurveStep[]>()
  curves.set(found, known)
  const levels = levelsOf(stage, way)
  const key = levels.join()
  const curve = known.get(key) ?? found.fit.curve(levels)
  known.set(key, curve)
  const step = curve.findIndex(({ notYet }) => notYet <= 1 - share + 1e-9)
  return step < 0 ? null : step
}
