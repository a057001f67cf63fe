import { type LaneId, listGroupKeys, type Stage } from '../model/stage'
import type { CurveStep } from '../model/survivalCurve'
import type { StageModel, TransitModel } from '../model/transitModel'

/** Minimum arrivals over all lanes for any figure. Chosen, no source. */
const MIN_ARRIVALS = 10

/** Curves of a stage by lane; null if there are too few arrivals on all lanes. */
const curveCache = new WeakMap<StageModel, Map<string, readonly CurveStep[]> | null>()

/**
 * In how many steps (open days after the day on which the stage began) at least `share` finish a stage on a
 * lane. A lane with little data borrows from wider groups, as in a forecast. Null if too many never finish, or
 * too few have on any lane.
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
