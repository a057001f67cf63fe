import { MILESTONE_ORDER, MILESTONES, type Milestone } from '@/lib/hold/milestone'

/** A part of a sample's life that is estimated by itself, from one milestone to a later one. */
export interface Stage {
  from: Milestone
  to: Milestone
}

/** Who is responsible for a stage; decides whose days it is counted in and how it is grouped. */
export type StageKind = 'plant' | 'transit' | 'laboratory'

/** Every sample passes these milestones, and chains are cut at them. */
const BOUNDARIES: readonly Milestone[] = ['produced', 'collected', 'dispatched', 'received']
/** Milestones that begin a stage once they are reported. */
const STAGE_STARTS: readonly Milestone[] = [...BOUNDARIES, 'conditioned', 'loaded']

/** Depends on the milestone that begins the stage. */
export function stageKind(stage: Stage): StageKind {
  const order = MILESTONE_ORDER[stage.from]
  if (order < MILESTONE_ORDER.dispatched) return 'plant'
  return order < MILESTONE_ORDER.received ? 'transit' : 'laboratory'
}

export function stageKey(stage: Stage): string {
  return `${stage.from}>${stage.to}`
}

/**
 * The stages from the last reported milestone before `stop` to `stop`; empty if none was reported.
 *
 * `sealed` and `delivered` do not begin a stage, so the one before goes on. They do if the boundary before them
 * was passed unreported, because nothing else says where the sample is.
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

/** Every stage that a chain can contain. */
export const STAGES: readonly Stage[] = listAllStages()

function listAllStages(): Stage[] {
  const found = new Map<string, Stage>()
  for (const start of MILESTONES)
    for (const stop of MILESTONES)
      for (const stage of listRemainingStages((one) => one === start, stop)) found.set(stageKey(stage), stage)
  return [...found.values()]
}

/** Identifies a lane; the service is null if none is named. */
export interface LaneId {
  plant: string
  laboratory: string
  service: string | null
}

/**
 * The groups that a stage is estimated in, its own first, then the wider ones; the pool of all is above the
 * last. Keys are unique within a stage.
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
