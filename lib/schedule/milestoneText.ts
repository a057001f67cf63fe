import type { Milestone } from '@/lib/hold/milestone'
import { MILESTONES } from '@/lib/hold/milestone'
import type { MessageKey } from '@/lib/messages/message'
import type { Translate } from '@/lib/messages/translate'

function listByMilestone<Key extends MessageKey>(
  toKey: (milestone: Milestone) => Key,
): Record<Milestone, Key> {
  return Object.fromEntries(MILESTONES.map((one) => [one, toKey(one)])) as Record<Milestone, Key>
}

/** "cut": a milestone in a list or beside its time. */
export const MILESTONE_LABELS = listByMilestone((one) => `milestone.${one}.label`)

/** "in the chamber": what a sample waits for, after "likely" or "to be". */
export const AWAITED_LABELS = listByMilestone((one) => `milestone.${one}.awaited`)

/** "it was cut". `what` is a kit, or "it". */
export function formatMilestone(t: Translate, milestone: Milestone, what = 'it'): string {
  if (milestone === 'conditioned')
    return what === 'it' ? 'conditioning began' : `conditioning of ${what} began`
  return milestone === 'loaded'
    ? `${what} went into the chamber`
    : `${what} was ${t(MILESTONE_LABELS[milestone])}`
}
