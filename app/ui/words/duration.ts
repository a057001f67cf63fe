import { DAY, HOUR, MINUTE } from '@/lib/hold/zone'
import type { Translate } from '@/lib/messages/translate'

const formatUnit = (t: Translate, count: number, name: string) =>
  `${count.toLocaleString('en-GB')} ${name}${count === 1 ? '' : 's'}`

/**
 * A length of time (ms, not negative) in words, in its two largest units. It is cut down, never rounded up, so
 * that nobody reads more time left than there is. A day is 24 hours.
 */
export function formatDuration(t: Translate, ms: number): string {
  const days = Math.floor(ms / DAY)
  const hours = Math.floor((ms % DAY) / HOUR)
  const minutes = Math.floor((ms % HOUR) / MINUTE)
  if (days >= 10) return formatUnit(t, days, 'day')
  if (days > 0)
    return hours > 0
      ? `${formatUnit(t, days, 'day')} ${formatUnit(t, hours, 'hour')}`
      : formatUnit(t, days, 'day')
  if (hours > 0)
    return minutes > 0
      ? `${formatUnit(t, hours, 'hour')} ${formatUnit(t, minutes, 'minute')}`
      : formatUnit(t, hours, 'hour')
  return minutes > 0 ? formatUnit(t, minutes, 'minute') : 'less than a minute'
}

/** A length of time (ms) in one unit, cut down: for what is past, where the second unit only distracts. */
export function formatRoughDuration(t: Translate, ms: number): string {
  if (ms >= 2 * DAY) return formatUnit(t, Math.floor(ms / DAY), 'day')
  if (ms >= 2 * HOUR) return formatUnit(t, Math.floor(ms / HOUR), 'hour')
  return formatDuration(t, ms)
}

/** A length of time given in hours, as a table writes it: "7.5 h" below two days, "5.3 d" from there on. */
export function formatTableDuration(t: Translate, hours: number): string {
  if (hours < 48) return `${hours < 9.95 ? hours.toFixed(1) : hours.toFixed(0)} h`
  const days = hours / 24
  return `${days < 9.95 ? days.toFixed(1) : days.toFixed(0)} d`
}
