import { MAX_CLOSED_DAYS, TOO_MANY_CLOSED } from '@/lib/custody/registerDocument'
import { formatIsoDate, parseIsoDate } from '@/lib/hold/zone'
import { type Message, message } from '@/lib/messages/message'
import { type FieldProblem, splitParts } from './formValues'

/** The longest closure in days: a mistyped year would close a place for good. */
const MAX_CLOSURE_DAYS = 400

/** Reads one closure a line; the dates come back sorted, each once. */
export function parseClosures(text: string | undefined): { dates: string[]; problems: FieldProblem[] } {
  const dates = new Set<string>()
  const problems: FieldProblem[] = []
  const lines = new Set(splitParts(text, /[\n;]/))
  if (lines.size > MAX_CLOSED_DAYS) return { dates: [], problems: [tooMany()] }
  for (const line of lines) {
    const days = parseClosure(line)
    if (Array.isArray(days)) for (const day of days) dates.add(day)
    else problems.push({ field: 'closed', detail: days })
    if (dates.size > MAX_CLOSED_DAYS) {
      problems.push(tooMany())
      break
    }
  }
  return { dates: [...dates].sort(), problems }
}

const tooMany = (): FieldProblem => ({
  field: 'closed',
  detail: TOO_MANY_CLOSED,
})

/** The dates of "2026-11-26" or "2026-12-24 to 2027-01-01", or what is wrong with the line. */
function parseClosure(line: string): string[] | Message {
  const [from = '', to = from, ...rest] = line.split(/\s+to\s+/)
  const [first, last] = [parseIsoDate(from), parseIsoDate(to)]
  if (first === undefined || last === undefined || rest.length > 0)
    return message('setup.fault.closureDate', { line })
  if (last < first) return message('setup.fault.closureOrder', { line })
  if (last - first >= MAX_CLOSURE_DAYS)
    return message('setup.fault.closureTooLong', { line, days: MAX_CLOSURE_DAYS })
  return Array.from({ length: last - first + 1 }, (_, index) => formatIsoDate(first + index))
}

/** Writes consecutive dates as one closure. */
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
