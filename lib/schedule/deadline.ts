import { getDayEnd, getDayStart, toLocalDay } from '@/lib/hold/zone'

/** Whether an instant (ms UTC) ends a local day of `zone`: the day's last millisecond, or the midnight after it. */
export function isDayEnd(at: number, zone: string): boolean {
  const day = toLocalDay(at, zone)
  return at === getDayEnd(day, zone) || at === getDayStart(day, zone)
}

/** The first of the zones in which the deadline ends a day; the first of all if it ends none. */
export function findDeadlineZone(at: number, zones: readonly [string, ...string[]]): string {
  return zones.find((zone) => isDayEnd(at, zone)) ?? zones[0]
}
