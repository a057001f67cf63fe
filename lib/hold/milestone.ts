/** The milestones of a sample in their usual order. */
export const MILESTONES = [
  'produced',
  'collected',
  'sealed',
  'dispatched',
  'delivered',
  'received',
  'conditioned',
  'loaded',
  'reported',
] as const

export type Milestone = (typeof MILESTONES)[number]

/** The position of a milestone in that order, from 0. */
export const MILESTONE_ORDER = Object.fromEntries(MILESTONES.map((name, index) => [name, index])) as Record<
  Milestone,
  number
>

/** The milestones that can be a sample's last while it has reached one and not yet the other. */
export function listMilestones(reached: Milestone, awaited: Milestone): readonly Milestone[] {
  return MILESTONES.slice(MILESTONE_ORDER[reached], MILESTONE_ORDER[awaited])
}

/** The last milestone of a sample that is still at the plant, */
export const AT_PLANT = listMilestones('produced', 'dispatched')
/** of one that is with the carrier, */
export const UNDER_WAY = listMilestones('dispatched', 'received')
/** and of one that is at either. */
export const CUT_AND_NOT_RECEIVED = listMilestones('collected', 'received')

export function isMilestone(text: string): text is Milestone {
  return Object.hasOwn(MILESTONE_ORDER, text)
}

/** What ends a sample early. */
export const ENDINGS = ['lost', 'returned', 'rejected', 'cancelled'] as const

export type Ending = (typeof ENDINGS)[number]

export function isEnding(text: string): text is Ending {
  return (ENDINGS as readonly string[]).includes(text)
}
