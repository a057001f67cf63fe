import { MAX_CLOSED_DAYS, TOO_MANY_CLOSED } from '@/lib/custody/registerDocument'
import { formatIsoDate, parseIsoDate } from '@/lib/hold/zone'
import { type FieldProblem, splitParts } from './formValues'

/** The longest closure that is taken, in days: a slip of the year would close a place for good. */
const MAX_CLOSURE_DAYS = 400

/** How closures are written, for beside the field. */
export const CLOSURE_HINT = '2026-11-26, or 2026-12-24 to 2027-01-01 for a closure of several days.'

/** The dates of the field `closed`, one closure a line, in order; and what is wrong with its lines. */
export function parseClosures(text: string | undefined): { dates: string[]; problems: FieldProblem[] } {
  const dates = new Set<string>()
  const problems: FieldProblem[] = []
  const lines = new Set(splitParts(text, /[\n;]/))
  if (lines.size > MAX_CLOSED_DAYS)
    return { dates: [], problems: [{ field: 'closed', detail: TOO_MANY_CLOSED }] }
  for (const line of lines) {
    const days = parseClosure(line)
    if (typeof days === 'string') problems.push({ field: 'closed', detail: days })
    else for (const day of days) dates.add(day)
    if (dates.size > MAX_CLOSED_DAYS) {
      problems.push({ field: 'closed', detail: TOO_MANY_CLOSED })
      break
    }
  }
  return { dates: [...dates].sort(), problems }
}

/** The dates of "2026-11-26" or "2026-12-24 to 2027-01-01", or what is wrong with the line. */
function parseClosure(line: string): string[] | string {
  const [from = '', to = from, ...rest] = line.split(/\s+to\s+/)
  const [first, last] = [parseIsoDate(from), parseIsoDate(to)]
  if (first === undefined || last === undefined || rest.length > 0)
    return `"${line}" is no date; write ${CLOSURE_HINT}`
  if (last < first) return `"${line}" ends before it begins.`
  if (last - first >= MAX_CLOSURE_DAYS)
    return `"${line}" is longer than ${MAX_CLOSURE_DAYS} days; check the years.`
  return Array.from({ length: last - first + 1 }, (_, index) => formatIsoDate(first + index))
}

/** Dates with neighbouring days drawn together. */
export function formatClosures(dates: readonly string[]): string[] {
  const days = [...new Set(dates.map((date) => parseIsoDate(date) as number))].sort((a, b) => a - b)
  const spans: [number, number][] = []
  for (const day of days) {
    const last = spans.at(-1)
    if (last && last[1] === day - 1) last[1] = day
    else spans.push([day, day])
  }
  return spans.map(([from, to]) =>
    from === to ? formatIsoDate(from) : `${formatIsoDate(from)} to ${formatIsoDate(to)}`,
  )
}
