import { holidayOf, holidayRuleOf, type LaboratoryContent, WEEKDAYS } from '@/lib/custody/registerDocument'
import { HOLIDAY_EXAMPLE, holidayText, readHoliday } from '@/lib/hold/holidayText'
import { civilDate, parseDay } from '@/lib/hold/zone'
import type { EntryContent } from '@/lib/store'
import { type FieldProblem, type FormValues, partsOf } from './formValues'

/** The longest closure that is taken, in days: a slip of the year would close a laboratory for good. */
const LONGEST_CLOSURE = 400

/** A laboratory as its form has it: hours a weekday, closures and holidays a line. `between` parts them. */
export function laboratoryValues(laboratory: LaboratoryContent, between = '\n'): FormValues {
  const { code, name, zone, receiving, closed, holidays = [] } = laboratory
  const hours = WEEKDAYS.map((day) => [day, (receiving[day] ?? []).join(', ')] as const)
  return {
    code,
    name,
    zone,
    ...Object.fromEntries(hours),
    closed: closuresOf(closed).join(between),
    holidays: holidays.map((one) => holidayText(holidayRuleOf(one))).join(between),
  }
}

export function laboratoryContent(values: FormValues): { content: EntryContent; problems: FieldProblem[] } {
  const problems: FieldProblem[] = []
  const receiving: Record<string, string[]> = {}
  for (const day of WEEKDAYS) {
    const spans = hoursOf(values[day])
    if (spans.length > 0) receiving[day] = spans
  }
  const closed = new Set<string>()
  for (const line of partsOf(values.closed, /[\n;]/)) {
    const days = daysOf(line)
    if (typeof days === 'string') problems.push({ field: 'closed', detail: days })
    else for (const day of days) closed.add(day)
  }
  const holidays = partsOf(values.holidays, /[\n;]/).flatMap((line) => {
    const rule = readHoliday(line)
    if (rule) return [holidayOf(rule)]
    problems.push({ field: 'holidays', detail: `"${line}" is no rule. ${HOLIDAY_EXAMPLE}` })
    return []
  })
  const { code, name, zone } = values
  const content = { code, name, zone, receiving, closed: [...closed].sort() }
  return { content: holidays.length > 0 ? { ...content, holidays } : content, problems }
}

/** "08:00-12:00, 13:00-16:30" in its spans, however they are parted. */
function hoursOf(text: string | undefined): string[] {
  const joined = (text ?? '').replace(/\s*[-\u2013]\s*/g, '-')
  return partsOf(joined, /[,;\s]+/).map(hoursText)
}

/** "8:00 – 16:30" as the register writes it: 08:00-16:30. */
function hoursText(text: string): string {
  const match = /^(\d{1,2}):(\d{2})-(\d{1,2}):(\d{2})$/.exec(text)
  if (!match) return text
  const [, fromHour = '', fromMinute, toHour = '', toMinute] = match
  return `${fromHour.padStart(2, '0')}:${fromMinute}-${toHour.padStart(2, '0')}:${toMinute}`
}

/** The dates of "2026-11-26" or "2026-12-24 to 2027-01-01", or what is wrong with the line. */
function daysOf(line: string): string[] | string {
  const [from = '', to = from, ...rest] = line.split(/\s+to\s+/)
  const [first, last] = [parseDay(from), parseDay(to)]
  if (first === undefined || last === undefined || rest.length > 0)
    return `"${line}" is no date; write 2026-11-26, or 2026-12-24 to 2027-01-01 for a closure of several days.`
  if (last < first) return `"${line}" ends before it begins.`
  if (last - first >= LONGEST_CLOSURE)
    return `"${line}" is longer than ${LONGEST_CLOSURE} days; check the years.`
  return Array.from({ length: last - first + 1 }, (_, index) => dateText(first + index))
}

/** Dates with neighbouring days drawn together. */
function closuresOf(dates: readonly string[]): string[] {
  const days = [...new Set(dates.map((date) => parseDay(date) as number))].sort((a, b) => a - b)
  const spans: [number, number][] = []
  for (const day of days) {
    const last = spans.at(-1)
    if (last && last[1] === day - 1) last[1] = day
    else spans.push([day, day])
  }
  return spans.map(([from, to]) => (from === to ? dateText(from) : `${dateText(from)} to ${dateText(to)}`))
}

/** A day number as 2026-11-26. */
export function dateText(day: number): string {
  const { year, month, day: date } = civilDate(day)
  return `${String(year).padStart(4, '0')}-${String(month).padStart(2, '0')}-${String(date).padStart(2, '0')}`
}
