import { MILESTONE_ORDER, type Milestone } from '@/lib/hold/milestone'

/** The zone in which a milestone's time is told first: where it happens, at the plant or at the laboratory. */
export function milestoneZone(milestone: Milestone, plantZone: string, laboratoryZone: string): string {
  return MILESTONE_ORDER[milestone] < MILESTONE_ORDER.delivered ? plantZone : laboratoryZone
}
