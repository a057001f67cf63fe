import { MANY_CLOSED, MOST_CLOSED } from '@/lib/custody/registerDocument'
import { dayText, parseDay } from '@/lib/hold/zone'
import { type FieldProblem, partsOf } from './formValues'

/** The longest closure that is taken, in days: a slip of the year would close a place for good. */
const LONGEST_CLOSURE = 400

/** How closures are written, for beside the field. */
export const CLOSURE_HINT = '2026-11-26, or 2026-12-24 to 2027-01-01 for a closure of several days.'

/** The dates of the field `closed`, one closure a line, in order; and what is wrong with its lines. */
export function readClosures(text: string | undefined): { dates: string[]; problems: FieldProblem[] } {
  const dates = new Set<string>()
  const problems: FieldProblem[] = []
  const lines = new Set(partsOf(text, /[\n;]/))
  if (lines.size > MOST_CLOSED) return { dates: [], problems: [{ field: 'closed', detail: MANY_CLOSED }] }
  for (const line of lines) {
    const days = daysOf(line)
    if (typeof days === 'string') problems.push({ field: 'closed', detail: days })
    else for (const day of days) dates.add(day)
    if (dates.size > MOST_CLOSED) {
      problems.push({ field: 'closed', detail: MANY_CLOSED })
      break
    }
  }
  return { dates: [...dates].sort(), problems }
}

/** The dates of "2026-11-26" or "2026-12-24 to 2027-01-01", or what is wrong with the line. */
function daysOf(line: string): string[] | string {
  const [from = '', to = from, ...rest] = line.split(/\s+to\s+/)
  const [first, last] = [parseDay(from), parseDay(to)]
  if (first === undefined || last === undefined || rest.length > 0)
    return `"${line}" is no date; write ${CLOSURE_HINT}`
  if (last < first) return `"${line}" ends before it begins.`
  if (last - first >= LONGEST_CLOSURE)
    return `"${line}" is longer than ${LONGEST_CLOSURE} days; check the years.`
  return Array.from({ length: last - first + 1 }, (_, index) => dayText(first + index))
}

/** Dates with neighbouring days drawn together. */
export function closuresOf(dates: readonly string[]): string[] {
  const days = [...new Set(dates.map((date) => parseDay(date) as number))].sort((a, b) => a - b)
  const spans: [number, number][] = []
  for (const day of days) {
    const last = spans.at(-1)
    if (last && last[1] === day - 1) last[1] = day
    else spans.push([day, day])
  }
  return spans.map(([from, to]) => (from === to ? dayText(from) : `${dayText(from)} to ${dayText(to)}`))
}
