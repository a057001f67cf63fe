import { KINDS } from '@/lib/custody/eventKinds'
import { MILESTONES, type Milestone } from '@/lib/hold/milestone'
import type { Translate } from '@/lib/messages/translate'

/** What has happened, in a word or two: the label of a small bar, the beginning of a sum. */
export const MILESTONE_LABELS = Object.fromEntries(
  MILESTONES.map((milestone) => [milestone, KINDS[milestone].label]),
) as Record<Milestone, string>

/** What is waited for: "until it is …". */
export const AWAITED_LABELS: Record<Milestone, string> = {
  ...MILESTONE_LABELS,
  dispatched: 'in the carrier’s hands',
  conditioned: 'in conditioning',
}

/** That a milestone was, as a sentence without its end: "it was cut". `what` is a kit, or "it". */
export function formatMilestone(t: Translate, milestone: Milestone, what = 'it'): string {
  if (milestone === 'conditioned')
    return what === 'it' ? 'conditioning began' : `conditioning of ${what} began`
  return milestone === 'loaded'
    ? `${what} went into the chamber`
    : `${what} was ${MILESTONE_LABELS[milestone]}`
}
