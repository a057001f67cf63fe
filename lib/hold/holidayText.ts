import { message } from '@/lib/messages/message'
import type { HolidayRule } from './holidayRule'

// The rules are written in English in the register, in whatever language a person reads the pages.
const MONTH_NAMES = [
  'January',
  'February',
  'March',
  'April',
  'May',
  'June',
  'July',
  'August',
  'September',
  'October',
  'November',
  'December',
]
const WEEKDAY_NAMES = ['Sunday', 'Monday', 'Tuesday', 'Wednesday', 'Thursday', 'Friday', 'Saturday']
const ORDINALS = ['first', 'second', 'third', 'fourth', 'fifth'] as const

/** How to write a rule, shown beside its field and in its fault. */
export const HOLIDAY_EXAMPLE = message('holiday.example')

/** A rule as people write it: "Labour Day: first Monday of September", "New Year: 1 January, observed". */
export function formatHoliday(rule: HolidayRule): string {
  return `${rule.name}: ${formatWhen(rule)}${rule.isObserved ? ', observed' : ''}`
}

function formatWhen(rule: HolidayRule): string {
  if (rule.on === 'date') return `${rule.day} ${MONTH_NAMES[rule.month - 1]}`
  if (rule.on === 'easter') {
    if (rule.days === 0) return 'Easter'
    return `Easter ${rule.days > 0 ? '+' : '-'} ${Math.abs(rule.days)}`
  }
  const nth = rule.nth === 'last' ? 'last' : ORDINALS[rule.nth - 1]
  return `${nth} ${WEEKDAY_NAMES[rule.weekday]} of ${MONTH_NAMES[rule.month - 1]}`
}

/** Reads a line as `formatHoliday` writes it; null if it is no rule. */
export function parseHoliday(line: string): HolidayRule | null {
  const colon = line.lastIndexOf(':')
  const name = line.slice(0, colon).trim()
  if (colon < 0 || name === '') return null
  const [when = '', ...more] = line
    .slice(colon + 1)
    .split(',')
    .map((part) => part.trim().toLowerCase())
  if (more.length > 1 || (more.length === 1 && more[0] !== 'observed')) return null
  const base = { name, isObserved: more.length === 1 }
  const date = /^(\d{1,2}) ([a-z]+)$/.exec(when)
  if (date) {
    const [day, month] = [Number(date[1]), parseMonth(date[2])]
    return month === 0 || day < 1 || day > getMonthLength(month) ? null : { ...base, on: 'date', month, day }
  }
  const easter = /^easter(?: *([+\u2212-]) *(\d{1,3}))?$/.exec(when)
  if (easter) {
    const days = Number(easter[2] ?? 0) * (easter[1] === '+' ? 1 : -1)
    return days === 0 ? { ...base, on: 'easter', days: 0 } : { ...base, on: 'easter', days }
  }
  const weekday = /^([a-z]+) ([a-z]+) (?:of|in) ([a-z]+)$/.exec(when)
  if (!weekday) return null
  const place = ORDINALS.indexOf(weekday[1] as (typeof ORDINALS)[number]) + 1
  const nth = weekday[1] === 'last' ? ('last' as const) : (place as 1 | 2 | 3 | 4 | 5)
  const number = WEEKDAY_NAMES.findIndex((one) => one.toLowerCase() === weekday[2])
  const month = parseMonth(weekday[3])
  if (place === 0 && nth !== 'last') return null
  return number < 0 || month === 0 ? null : { ...base, on: 'weekday', nth, weekday: number, month }
}

function parseMonth(word = ''): number {
  return MONTH_NAMES.findIndex((name) => name.toLowerCase() === word) + 1
}

function getMonthLength(month: number): number {
  return month === 2 ? 29 : [4, 6, 9, 11].includes(month) ? 30 : 31
}
