import { MILESTONES, type Milestone } from '@/lib/hold/milestone'
import type { MessageKey } from '@/lib/messages/message'

function listByMilestone<Key extends MessageKey>(
  toKey: (milestone: Milestone) => Key,
): Record<Milestone, Key> {
  return Object.fromEntries(MILESTONES.map((one) => [one, toKey(one)])) as Record<Milestone, Key>
}

/** "cut": a milestone in a list or beside its time. */
export const MILESTONE_LABELS = listByMilestone((one) => `event.${one}.label`)

/** "in the chamber": what a sample waits for, after "likely" or "to be". */
export const AWAITED_LABELS = listByMilestone((one) => `milestone.${one}.awaited`)
