import { type LaneId, listGroupKeys, type Stage } from '../model/stage'
import type { CurveStep } from '../model/survivalCurve'
import type { StageModel, TransitModel } from '../model/transitModel'

/** With fewer arrivals than this over all lanes nothing is said of any. Chosen, no source. */
const MIN_ARRIVALS = 10

/** The curves of a stage by way, as far as they were asked for; null where too few have done it anywhere. */
const curveCache = new WeakMap<StageModel, Map<string, readonly CurveStep[]> | null>()

/**
 * In how many steps (open days after that on which the stage began) at least `share` of those who go a way have done
 * a stage; a way with a thin record borrows from the wider ones, as a forecast does. Null where so many never do, and
 * where too few have done it anywhere.
 */
export function computeDaysWithin(
  model: TransitModel,
  stage: Stage,
  lane: LaneId,
  share: number,
): number | null {
  const found = model.getStage(stage)
  const curves = getCurves(found)
  if (curves === null) return null
  const levels = listGroupKeys(stage, lane)
  const key = levels.join()
  const curve = curves.get(key) ?? found.fit.curve(levels)
  curves.set(key, curve)
  const step = curve.findIndex(({ notYet }) => notYet <= 1 - share + 1e-9)
  return step < 0 ? null : step
}

function getCurves(found: StageModel): Map<string, readonly CurveStep[]> | null {
  const before = curveCache.get(found)
  if (before !== undefined) return before
  const arrived = found.observations.reduce((sum, one) => sum + (one.hasArrived ? one.weight : 0), 0)
  const curves = arrived < MIN_ARRIVALS - 1e-9 ? null : new Map<string, readonly CurveStep[]>()
  curveCache.set(found, curves)
  return curves
}
