import type { Clock } from '@/lib/hold/clock'
import { MILESTONE_ORDER, MILESTONES, type Milestone } from '@/lib/hold/milestone'

/**
 * The milestones, in the usual order, that a clock lacks although a later one was reported: someone has to give their time.
 * `reported`: the milestones of the sample that are reported.
 */
export function listMissingMilestones(
  clocks: readonly Clock[],
  reported: ReadonlySet<Milestone>,
): Milestone[] {
  const last = Math.max(-1, ...[...reported].map((milestone) => MILESTONE_ORDER[milestone]))
  const asked = new Set(
    clocks.filter((clock) => clock.isNotReported).flatMap(({ limit }) => [limit.from, limit.to]),
  )
  return MILESTONES.filter(
    (milestone) => asked.has(milestone) && !reported.has(milestone) && MILESTONE_ORDER[milestone] < last,
  )
}
