import type { LaneRecord, StageRecord } from '../model/record'
import { levelsOf, type Stage, type Way } from '../model/stage'
import type { CurveStep } from '../model/survivalCurve'

/** With fewer arrivals than this over all lanes nothing is said of any. Chosen, no source. */
const LEAST_ARRIVALS = 10

/** The curves of a stage by way, as far as they were asked for; null where too few have done it anywhere. */
const known = new WeakMap<StageRecord, Map<string, readonly CurveStep[]> | null>()

/**
 * In how many steps (open days after that on which the stage began) at least `share` of those who go a way have done
 * a stage; a way with a thin record borrows from the wider ones, as a forecast does. Null where so many never do, and
 * where too few have done it anywhere.
 */
export function daysWithin(record: LaneRecord, stage: Stage, way: Way, share: number): number | null {
  const found = record.of(stage)
  const curves = curvesOf(found)
  if (curves === null) return null
  const levels = levelsOf(stage, way)
  const key = levels.join()
  const curve = curves.get(key) ?? found.fit.curve(levels)
  curves.set(key, curve)
  const step = curve.findIndex(({ notYet }) => notYet <= 1 - share + 1e-9)
  return step < 0 ? null : step
}

function curvesOf(found: StageRecord): Map<string, readonly CurveStep[]> | null {
  const before = known.get(found)
  if (before !== undefined) return before
  const arrived = found.observations.reduce((sum, one) => sum + (one.hasArrived ? one.weight : 0), 0)
  const curves = arrived < LEAST_ARRIVALS - 1e-9 ? null : new Map<string, readonly CurveStep[]>()
  known.set(found, curves)
  return curves
}
