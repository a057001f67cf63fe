import { DAY, HOUR, localDay, MINUTE, weekdayOf } from '@/lib/hold/zone'
import type { RandomStream } from './randomStream'
import { atLocalTime } from './wallClock'

/** When something of `at` was written down, so many minutes later. */
export function writtenDown(at: number, delayMinutes: number, random: RandomStream) {
  const knownAt = at + delayMinutes * MINUTE + random.int(0, 59) * 1000
  return { knownAt, isKnownAtSent: random.chance(0.93) }
}

/** A moment in the programme office's day (14:00 to 19:00 UTC, Monday to Friday), two hours or more after `after`. */
export function officeMoment(after: number, random: RandomStream): number {
  let day = Math.floor((after + 2 * HOUR) / DAY)
  const minutes = random.int(0, 300)
  const at = () => day * DAY + 14 * HOUR + minutes * MINUTE
  while (at() < after + 2 * HOUR || [0, 6].includes(weekdayOf(day))) day++
  return at()
}

/** `at` (ms UTC) itself if desks are manned then in `zone`, else the next morning on which they are. */
export function deskMoment(at: number, zone: string, random: RandomStream): number {
  let day = localDay(at, zone)
  const isWeekday = () => ![0, 6].includes(weekdayOf(day))
  if (isWeekday() && at >= atLocalTime(day, 420, zone) && at <= atLocalTime(day, 1050, zone)) return at
  while (!isWeekday() || atLocalTime(day, 470, zone) < at) day++
  return atLocalTime(day, 470 + random.int(0, 90), zone)
}
