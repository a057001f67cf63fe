import { DAY, toCivilDate } from '@/lib/hold/zone'
import type { Translate } from '@/lib/messages/translate'
import type { SampleForecast } from '@/lib/store/projection/storedForecast'
import { formatDayNumber } from './instant'

/** A chance (0 to 1) out of a hundred: "3 in 100", "under 1 in 100". It is never rounded to none or to all. */
export function formatChance(t: Translate, chance: number): string {
  if (chance <= 0) return t('chance.none')
  const hundredths = Math.round(100 * chance)
  if (hundredths < 1) return t('chance.under')
  if (hundredths > 99 && chance < 1) return t('chance.over')
  return t('chance.inHundred', { hundredths })
}

/** The same without its "in 100", for where that stands beside it: "97", "over 99", "under 1". */
export function formatPerHundred(t: Translate, chance: number): string {
  if (isUnderHundredth(chance)) return t('chance.perHundred.under')
  return isOverNinetyNine(chance) ? t('chance.perHundred.over') : t.number(Math.round(100 * chance))
}

/** A share rounded to whole percent, never to 0 % of something nor to 100 % of less. */
export function formatPercent(t: Translate, share: number): string {
  if (isUnderHundredth(share)) return t('chance.percent.under')
  if (isOverNinetyNine(share)) return t('chance.percent.over')
  return t('chance.percent', { percent: Math.round(share * 100) })
}

const isUnderHundredth = (share: number) => share > 1e-9 && share < 0.01
const isOverNinetyNine = (share: number) => share < 1 - 1e-9 && share > 0.99

/** When a sample is likely to arrive, even where it may never: "from Wed 25 Nov, if at all", "may not arrive". */
export function formatArrivalDays(
  t: Translate,
  { p10, p50, p90 }: Pick<SampleForecast, 'p10' | 'p50' | 'p90'>,
  zone: string,
  now: number,
): string {
  const days = formatLikelyDays(t, { p10, p90 }, zone, now)
  if (days !== null) return days
  if (p10 === null || p50 === null) return t('chance.arrival.maybeNever')
  return t('chance.arrival.from', { day: formatDayNumber(t, p10, zone, now) })
}

/** The central 80 % of the likely days, "Tue 1 to Fri 4 Dec"; null where the chance of never is 10 % or more. */
export function formatLikelyDays(
  t: Translate,
  { p10, p90 }: Pick<SampleForecast, 'p10' | 'p90'>,
  zone: string,
  now: number,
): string | null {
  if (p10 === null || p90 === null) return null
  const last = formatDayNumber(t, p90, zone, now)
  if (p10 === p90) return last
  const [from, to] = [toCivilDate(p10), toCivilDate(p90)]
  const isOneMonth = from.year === to.year && from.month === to.month
  const first = isOneMonth ? t.date(p10 * DAY, 'UTC', 'weekdayDate') : formatDayNumber(t, p10, zone, now)
  return t('chance.days', { first, last })
}
