import { MONTH_NAMES } from '@/lib/hold/holidayText'

/** "November 2026" for "2026-11". */
export function monthWords(month: string): string {
  const [year, number] = month.split('-')
  return `${MONTH_NAMES[Number(number) - 1]} ${year}`
}
