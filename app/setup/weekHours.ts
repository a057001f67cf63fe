import { WEEKDAYS, type Weekday } from '@/lib/custody/registerDocument'

/** The week, Monday first. */
export const WEEK: readonly Weekday[] = [...WEEKDAYS.slice(1), WEEKDAYS[0]]

/** What is so on each weekday in words, days that are alike drawn together: "mon to fri 16:30; sat 11:00". */
export function weekHours(hoursOf: (day: Weekday) => string | undefined): string {
  const spans: { from: Weekday; to: Weekday; hours: string }[] = []
  WEEK.forEach((day, index) => {
    const hours = hoursOf(day)
    if (hours === undefined || hours === '') return
    const last = spans.at(-1)
    if (last?.hours === hours && last.to === WEEK[index - 1]) last.to = day
    else spans.push({ from: day, to: day, hours })
  })
  return spans.map(({ from, to, hours }) => `${from === to ? from : `${from} to ${to}`} ${hours}`).join('; ')
}
