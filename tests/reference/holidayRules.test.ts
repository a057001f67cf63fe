import { describe, expect, test } from 'vitest'
import { listEntries, Register } from '@/lib/custody/register'
import { toHolidayContent } from '@/lib/custody/registerDocument'
import { createHolidayLookup, findHolidayDay, type HolidayRule } from '@/lib/hold/holidayRule'
import { formatHoliday, parseHoliday } from '@/lib/hold/holidayText'
import { getWeekday, parseIsoDate, toDayNumber } from '@/lib/hold/zone'
import { ALWAYS, checkedRegister, registerInput } from '../custody/desk'
import { FEDERAL_RULES } from './federalHolidayRules'

const day = (date: string) => parseIsoDate(date) as number

// Source: the list of 2009 as published.
const LIST_OF_2009 = [
  '2009-01-01',
  '2009-01-19',
  '2009-02-16',
  '2009-05-25',
  '2009-07-03',
  '2009-09-07',
  '2009-10-12',
  '2009-11-11',
  '2009-11-26',
  '2009-12-25',
]

describe('holidays by the rules of 5 U.S.C. 6103', () => {
  test('are in 2009 those of the published list, and no others', () => {
    expect(FEDERAL_RULES.map((rule) => findHolidayDay(rule, 2009))).toEqual(LIST_OF_2009.map(day))
    const named = createHolidayLookup(FEDERAL_RULES)
    const all = Array.from({ length: 365 }, (_, index) => day('2009-01-01') + index)
    expect(all.filter((one) => named(one) !== null)).toEqual(LIST_OF_2009.map(day))
  })

  test('close a laboratory whose register entry gives them as rules', () => {
    const { laboratories, ...rest } = registerInput()
    const [first, ...others] = laboratories
    const ruled = { ...first, closed: [], holidays: FEDERAL_RULES.map(toHolidayContent) }
    const document = checkedRegister({ ...rest, laboratories: [ruled, ...others] })
    const calendar = new Register(listEntries(document, ALWAYS)).getCalendar(ruled.code as string)
    const workdays = Array.from({ length: 365 }, (_, index) => day('2009-01-01') + index).filter(
      (one) => getWeekday(one) !== 0 && getWeekday(one) !== 6,
    )
    expect(workdays.filter((one) => !calendar.isOpen(one))).toEqual(LIST_OF_2009.map(day))
  })

  test('keep the New Year of 2028, a Saturday, on 31 December 2027 and not on the day itself', () => {
    const named = createHolidayLookup(FEDERAL_RULES)
    expect(named(day('2027-12-31'))).toBe('New Year')
    expect(named(day('2028-01-01'))).toBeNull()
  })
})

// Source: the dates of Western Easter from 1990 to 2050 against which python-dateutil tests itself
// (github.com/dateutil/dateutil, tests of dateutil.easter); here those of 2008 to 2038, as month and day.
const EASTER: Record<number, string> = {
  2008: '3-23',
  2009: '4-12',
  2010: '4-4',
  2011: '4-24',
  2012: '4-8',
  2016: '3-27',
  2019: '4-21',
  2020: '4-12',
  2024: '3-31',
  2025: '4-20',
  2026: '4-5',
  2027: '3-28',
  2028: '4-16',
  2029: '4-1',
  2030: '4-21',
  2035: '3-25',
  2038: '4-25',
}

test.each(Object.entries(EASTER))(
  'Easter of %s is on %s, and two days before it is Good Friday',
  (year, date) => {
    const [month, of] = date.split('-').map(Number) as [number, number]
    const sunday = toDayNumber(Number(year), month, of)
    const on = (line: string) => findHolidayDay(parseHoliday(line) as HolidayRule, Number(year))
    expect(on('Easter: Easter')).toBe(sunday)
    expect(on('Good Friday: Easter - 2')).toBe(sunday - 2)
    expect(on('Easter Monday: Easter + 1')).toBe(sunday + 1)
  },
)

describe('a rule', () => {
  test('is written as it is read', () => {
    for (const rule of FEDERAL_RULES) expect(parseHoliday(formatHoliday(rule))).toEqual(rule)
    const easter = 'Corpus Christi: Easter + 60'
    expect(formatHoliday(parseHoliday(easter) as HolidayRule)).toBe(easter)
  })

  test.each([
    'Christmas',
    'Christmas: 32 December',
    'Christmas: 30 February',
    'X: sixth Monday of May',
    'X: first Mo of May',
    ': 1 May',
    'X: 1 May, moved',
  ])('is not "%s"', (line) => expect(parseHoliday(line)).toBeNull())

  test('has no day in a year without a fifth Monday of the month, or without 29 February', () => {
    expect(findHolidayDay(parseHoliday('X: fifth Monday of February') as HolidayRule, 2026)).toBeNull()
    expect(findHolidayDay(parseHoliday('X: 29 February') as HolidayRule, 2026)).toBeNull()
    expect(findHolidayDay(parseHoliday('X: 29 February') as HolidayRule, 2028)).toBe(day('2028-02-29'))
  })
})
