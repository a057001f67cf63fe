import { WEEKDAYS, type Weekday } from '@/lib/custody/registerDocument'

/** The week, Monday first. */
export const WEEK: readonly Weekday[] = [...WEEKDAYS.slice(1), WEEKDAYS[0]]

/** Runs of weekdays of which the same is so, with what that is; of days that are left out nothing is. */
function runs(soOf: (day: Weekday) => string | undefined): { days: string; so: string }[] {
  const found: { from: Weekday; to: Weekday; so: string }[] = []
  WEEK.forEach((day, index) => {
    const so = soOf(day)
    if (so === undefined || so === '') return
    const last = found.at(-1)
    if (last?.so === so && last.to === WEEK[index - 1]) last.to = day
    else found.push({ from: day, to: day, so })
  })
  return found.map(({ from, to, so }) => ({ days: from === to ? from : `${from} to ${to}`, so }))
}

/** Hours of the week in words: "mon to fri 16:30; sat 11:00". */
export function weekHours(hoursOf: (day: Weekday) => string | undefined): string {
  return runs(hoursOf)
    .map(({ days, so }) => `${days} ${so}`)
    .join('; ')
}

/** Days of the week in words: "mon to wed, fri". */
export function weekdayWords(open: readonly Weekday[]): string {
  return runs((day) => (open.includes(day) ? 'open' : undefined))
    .map(({ days }) => days)
    .join(', ')
}
