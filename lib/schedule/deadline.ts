import { getDayEnd, getDayStart, toLocalDay } from '@/lib/hold/zone'

/** Whether a local day of `zone` ends with an instant: it is the day's last millisecond, or the midnight after it. */
export function isDayEnd(at: number, zone: string): boolean {
  const day = toLocalDay(at, zone)
  return at === getDayEnd(day, zone) || at === getDayStart(day, zone)
}

/** Of the zones in which a deadline could be told, one in which a day ends with it; the first where none does. */
export function findDeadlineZone(at: number, zones: readonly [string, ...string[]]): string {
  return zones.find((zone) => isDayEnd(at, zone)) ?? zones[0]
}
