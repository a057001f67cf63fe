/** The moments of a sample's life, in the order in which they ought to come. */
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

/** Position of a milestone in the order of life, from 0. */
export const MILESTONE_ORDER = Object.fromEntries(MILESTONES.map((name, index) => [name, index])) as Record<
  Milestone,
  number
>

/** The last milestones of samples that have reached one milestone and not yet another. */
export function listMilestones(reached: Milestone, awaited: Milestone): readonly Milestone[] {
  return MILESTONES.slice(MILESTONE_ORDER[reached], MILESTONE_ORDER[awaited])
}

/** The last milestones of samples that are not handed over, where any is known. */
export const AT_PLANT = listMilestones('produced', 'dispatched')
/** Of samples that are handed over and not received. */
export const UNDER_WAY = listMilestones('dispatched', 'received')
/** Of samples that are cut and not received. */
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
