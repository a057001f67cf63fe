import {
  type LaboratoryContent,
  toHolidayContent,
  toHolidayRule,
  WEEKDAYS,
} from '@/lib/custody/registerDocument'
import { formatHoliday, HOLIDAY_EXAMPLE, parseHoliday } from '@/lib/hold/holidayText'
import { message } from '@/lib/messages/message'
import type { EntryContent } from '@/lib/store/ledger/registerEntries'
import { formatClosures, parseClosures } from './closures'
import { type FieldProblem, type FormValues, splitParts } from './formValues'

/** Fills the form: hours by weekday; closures and holidays separated by `between`. */
export function toLaboratoryValues(laboratory: LaboratoryContent, between = '\n'): FormValues {
  const { code, name, zone, receiving, closed, holidays = [] } = laboratory
  const hours = WEEKDAYS.map((day) => [day, (receiving[day] ?? []).join(', ')] as const)
  return {
    code,
    name,
    zone,
    ...Object.fromEntries(hours),
    closed: formatClosures(closed).join(between),
    holidays: holidays.map((one) => formatHoliday(toHolidayRule(one))).join(between),
  }
}

export function parseLaboratory(values: FormValues): { content: EntryContent; problems: FieldProblem[] } {
  const problems: FieldProblem[] = []
  const receiving: Record<string, string[]> = {}
  for (const day of WEEKDAYS) {
    const spans = parseHours(values[day])
    if (spans.length > 0) receiving[day] = spans
  }
  const closures = parseClosures(values.closed)
  problems.push(...closures.problems)
  const holidays = splitParts(values.holidays, /[\n;]/).flatMap((line) => {
    const rule = parseHoliday(line)
    if (rule) return [toHolidayContent(rule)]
    problems.push({
      field: 'holidays',
      detail: message('setup.fault.holiday', { line, example: HOLIDAY_EXAMPLE }),
    })
    return []
  })
  const { code, name, zone } = values
  const content = { code, name, zone, receiving, closed: closures.dates }
  return { content: holidays.length > 0 ? { ...content, holidays } : content, problems }
}

/** Splits "08:00-12:00, 13:00-16:30"; commas, semicolons and blanks separate, and dashes may have blanks around them. */
function parseHours(text: string | undefined): string[] {
  const joined = (text ?? '').replace(/\s*[-\u2013]\s*/g, '-')
  return splitParts(joined, /[,;\s]+/).map(normalizeHours)
}

/** "8:00-16:30" becomes "08:00-16:30". */
function normalizeHours(text: string): string {
  const match = /^(\d{1,2}):(\d{2})-(\d{1,2}):(\d{2})$/.exec(text)
  if (!match) return text
  const [, fromHour = '', fromMinute, toHour = '', toMinute] = match
  return `${fromHour.padStart(2, '0')}:${fromMinute}-${toHour.padStart(2, '0')}:${toMinute}`
}
