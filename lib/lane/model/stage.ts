import { MILESTONE_ORDER, MILESTONES, type Milestone } from '@/lib/hold/milestone'

/** A part of a sample's life whose length is estimated by itself: from one milestone to a later one. */
export interface Stage {
  from: Milestone
  to: Milestone
}

/** Who answers for a stage, and so in whose days it is counted and by whom it is grouped. */
export type StageKind = 'plant' | 'transit' | 'laboratory'

/** The milestones that every sample passes and that a chain is cut at. */
const BOUNDARIES: readonly Milestone[] = ['produced', 'collected', 'dispatched', 'received']
/** Milestones that begin a stage once they are reported. */
const STAGE_STARTS: readonly Milestone[] = [...BOUNDARIES, 'conditioned', 'loaded']

/** Who answers for a stage, by the milestone that begins it. */
export function stageKind(stage: Stage): StageKind {
  const order = MILESTONE_ORDER[stage.from]
  if (order < MILESTONE_ORDER.dispatched) return 'plant'
  return order < MILESTONE_ORDER.received ? 'transit' : 'laboratory'
}

/** The name of a stage in one text, as a key. */
export function stageKey(stage: Stage): string {
  return `${stage.from}>${stage.to}`
}

/**
 * The chain of stages from the last reported milestone before `stop` to `stop`; empty where none was reported.
 *
 * `sealed` and `delivered` do not begin a stage: the one before goes on. Only where the boundary before them was
 * passed without a report do they, since nothing else says where the sample is.
 */
export function listRemainingStages(isReported: (milestone: Milestone) => boolean, stop: Milestone): Stage[] {
  const before = MILESTONES.slice(0, MILESTONE_ORDER[stop])
  const last = before.findLast(isReported)
  if (last === undefined) return []
  const beginning = before.findLast((one) => STAGE_STARTS.includes(one) && isReported(one))
  const hasSkipped = (from: Milestone) =>
    BOUNDARIES.some(
      (one) => MILESTONE_ORDER[one] > MILESTONE_ORDER[from] && MILESTONE_ORDER[one] < MILESTONE_ORDER[last],
    )
  const start = beginning === undefined || hasSkipped(beginning) ? last : beginning
  const between = BOUNDARIES.filter(
    (one) => MILESTONE_ORDER[one] > MILESTONE_ORDER[start] && MILESTONE_ORDER[one] < MILESTONE_ORDER[stop],
  )
  const points = [start, ...between, stop]
  return points.slice(1).map((to, index) => ({ from: points[index] as Milestone, to }))
}

/** Every stage that a chain can hold. */
export const STAGES: readonly Stage[] = listAllStages()

function listAllStages(): Stage[] {
  const found = new Map<string, Stage>()
  for (const start of MILESTONES)
    for (const stop of MILESTONES)
      for (const stage of listRemainingStages((one) => one === start, stop)) found.set(stageKey(stage), stage)
  return [...found.values()]
}

/** Where a stage is lived through. */
export interface LaneId {
  plant: string
  laboratory: string
  service: string | null
}

/**
 * The groups that a stage of a sample is estimated in, its own first, then the wider ones; the pool of all is above
 * the last. The keys of two different groups of one stage are never the same.
 */
export function listGroupKeys(stage: Stage, lane: LaneId): readonly string[] {
  switch (stageKind(stage)) {
    case 'plant':
      return [JSON.stringify(['plant', lane.plant])]
    case 'transit':
      return [
        JSON.stringify(['lane', lane.plant, lane.laboratory, lane.service]),
        JSON.stringify(['service', lane.service]),
      ]
    default:
      return [JSON.stringify(['laboratory', lane.laboratory])]
  }
}
