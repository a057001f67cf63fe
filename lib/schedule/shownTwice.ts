import { findInstants, getOffset } from '@/lib/hold/zone'

/** Whether the clocks of a zone show the local time of an instant (ms UTC) twice, so that its offset has to be named. */
export function isShownTwice(at: number, zone: string): boolean {
  const { instants, isGap } = findInstants(at + getOffset(at, zone), zone)
  return instants.length > 1 && !isGap
}
