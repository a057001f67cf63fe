import type { Clock } from '@/lib/hold/clock'
import { MILESTONE_ORDER } from '@/lib/hold/milestone'

/** In whose days a clock's stop is forecast: the plant's up to the hand-over, the laboratory's after it. */
export function stopZone(clock: Clock | null, plantZone: string, laboratoryZone: string): string {
  const isAtPlant = clock !== null && MILESTONE_ORDER[clock.limit.to] <= MILESTONE_ORDER.dispatched
  return isAtPlant ? plantZone : laboratoryZone
}
