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

export function isMilestone(text: string): text is Milestone {
  return Object.hasOwn(MILESTONE_ORDER, text)
}
