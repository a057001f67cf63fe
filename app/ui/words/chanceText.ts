import type { Translate } from '@/lib/messages/translate'
import type { SampleForecast } from '@/lib/store/projection/storedForecast'
import { formatDayNumber } from './instant'

/**
 * A chance (0 to 1) as people weigh it, out of a hundred: "3 in 100", "under 1 in 100". It is never rounded to
 * none or to all.
 */
export function formatChance(t: Translate, chance: number): string {
  if (chance <= 0) return 'no chance'
  const hundredths = Math.round(100 * chance)
  if (hundredths < 1) return 'under 1 in 100'
  if (hundredths > 99) return chance >= 1 ? '100 in 100' : 'over 99 in 100'
  return `${hundredths} in 100`
}

/** When something is likely to come, also where it may well never: "from Wed 25 Nov, if at all", "may not come". */
export function formatArrivalDays(
  t: Translate,
  { p10, p50, p90 }: Pick<SampleForecast, 'p10' | 'p50' | 'p90'>,
  zone: string,
  now: number,
): string {
  const days = formatLikelyDays(t, { p10, p90 }, zone, now)
  if (days !== null) return days
  return p10 === null || p50 === null
    ? 'may not come'
    : `from ${formatDayNumber(t, p10, zone, now)}, if at all`
}

/** The days of `zone` between which eight of ten would stop, "Tue 1 to Fri 4 Dec"; null where it may well never. */
export function formatLikelyDays(
  t: Translate,
  { p10, p90 }: Pick<SampleForecast, 'p10' | 'p90'>,
  zone: string,
  now: number,
): string | null {
  if (p10 === null || p90 === null) return null
  const [first, last] = [formatDayNumber(t, p10, zone, now), formatDayNumber(t, p90, zone, now)]
  if (p10 === p90) return first
  // The month is said once where both days are in it.
  const [firstMonth, lastMonth] = [first, last].map((words) => words.split(' ').slice(2).join(' '))
  return firstMonth === lastMonth && firstMonth !== ''
    ? `${first.split(' ').slice(0, 2).join(' ')} to ${last}`
    : `${first} to ${last}`
}
