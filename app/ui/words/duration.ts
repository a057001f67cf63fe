import { DAY, HOUR, MINUTE } from '@/lib/hold/zone'
import type { Translate } from '@/lib/messages/translate'

/**
 * A length of time (ms, not negative) in its two largest units. It is rounded down, so that nobody reads more time left
 * than there is. A day is 24 hours.
 */
export function formatDuration(t: Translate, ms: number): string {
  const days = Math.floor(ms / DAY)
  const hours = Math.floor((ms % DAY) / HOUR)
  const minutes = Math.floor((ms % HOUR) / MINUTE)
  if (days > 0)
    return hours > 0 && days < 10 ? t('duration.daysHours', { days, hours }) : t('duration.days', { days })
  if (hours > 0)
    return minutes > 0 ? t('duration.hoursMinutes', { hours, minutes }) : t('duration.hours', { hours })
  return minutes > 0 ? t('duration.minutes', { minutes }) : t('duration.underOneMinute')
}

/** A length of time (ms) in one unit, rounded down: enough for what is past. */
export function formatRoughDuration(t: Translate, ms: number): string {
  if (ms >= 2 * DAY) return t('duration.days', { days: Math.floor(ms / DAY) })
  if (ms >= 2 * HOUR) return t('duration.hours', { hours: Math.floor(ms / HOUR) })
  return formatDuration(t, ms)
}

/** Hours as a table writes them: "7.5 h" below two days, "5.3 d" from there on. */
export function formatTableDuration(t: Translate, hours: number): string {
  const round = (value: number) => {
    const digits = value < 9.95 ? 1 : 0
    return t.number(value, { minimumFractionDigits: digits, maximumFractionDigits: digits })
  }
  return hours < 48
    ? t('duration.table.hours', { hours: round(hours) })
    : t('duration.table.days', { days: round(hours / 24) })
}
