import { type PickupContent, WEEKDAYS, type Weekday } from '@/lib/custody/registerDocument'

/** The week, Monday first. */
export const WEEK: readonly Weekday[] = [...WEEKDAYS.slice(1), WEEKDAYS[0]]

/** Pickup hours in words, days of one hour drawn together: "mon to fri 16:30, sat 11:00". */
export function pickupHours(hours: PickupContent['hours']): string {
  const spans: { from: Weekday; to: Weekday; at: string }[] = []
  WEEK.forEach((day, index) => {
    const at = hours[day]
    if (at === undefined) return
    const last = spans.at(-1)
    if (last?.at === at && last.to === WEEK[index - 1]) last.to = day
    else spans.push({ from: day, to: day, at })
  })
  return spans.map(({ from, to, at }) => `${from === to ? from : `${from} to ${to}`} ${at}`).join(', ')
}
