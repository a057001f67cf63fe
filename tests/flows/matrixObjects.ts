import { KITS } from '@/tests/access/twoMakers'

/** What a request is about: something of the asker's own, another maker's, or nothing that there is. */
export const OBJECTS = ['own', 'foreign', 'absent'] as const
export type ObjectName = (typeof OBJECTS)[number]

/** How a route is asked about an object, as the contact of the first plant sees it. */
export interface Case {
  path: (object: ObjectName) => string
  body?: (object: ObjectName, who: string) => unknown
  /** What is answered to one who may ask; one number where it is the same for every object. */
  status: number | Record<ObjectName, number>
  /** An answer that differs has its reason beside it. */
  but?: Record<string, number | Record<ObjectName, number>>
}

export const KIT = { own: KITS['PL1 LAB2'], foreign: KITS['PL2 LAB'], absent: KITS.nowhere }
export const PLANT = { own: 'PL1', foreign: 'PL2', absent: 'PL9' }
export const FOUND_OR_NOT = { own: 200, foreign: 404, absent: 404 }
export const BOTH_FOUND = { own: 200, foreign: 200, absent: 404 }
/** Who sees everything, and for plants the desk to whose laboratory both send. */
export const SEES_ALL = { administrator: BOTH_FOUND }
export const SEES_BOTH_PLANTS = { ...SEES_ALL, 'laboratory desk': BOTH_FOUND }
