import { DAY, getWeekday, HOUR, MINUTE, toLocalDay } from '@/lib/hold/zone'
import type { RandomStream } from './randomStream'
import { toInstant } from './wallClock'

/** When something that happened at `at` (ms UTC) was written down, `delayMinutes` later. */
export function drawKnownAt(at: number, delayMinutes: number, random: RandomStream) {
  const knownAt = at + delayMinutes * MINUTE + random.int(0, 59) * 1000
  return { knownAt, isKnownAtSent: random.chance(0.93) }
}

/**
 * A time in the programme office's day (14:00 to 19:00 UTC, Monday to Friday), at least two hours after `after` (ms
 * UTC).
 */
export function drawOfficeTime(after: number, random: RandomStream): number {
  let day = Math.floor((after + 2 * HOUR) / DAY)
  const minutes = random.int(0, 300)
  const at = () => day * DAY + 14 * HOUR + minutes * MINUTE
  while (at() < after + 2 * HOUR || [0, 6].includes(getWeekday(day))) day++
  return at()
}

/** `at` (ms UTC) if desks in `zone` are staffed then, else the next morning when they are. */
export function drawDeskTime(at: number, zone: string, random: RandomStream): number {
  let day = toLocalDay(at, zone)
  const isWeekday = () => ![0, 6].includes(getWeekday(day))
  if (isWeekday() && at >= toInstant(day, 420, zone) && at <= toInstant(day, 1050, zone)) return at
  while (!isWeekday() || toInstant(day, 470, zone) < at) day++
  return toInstant(day, 470 + random.int(0, 90), zone)
}
