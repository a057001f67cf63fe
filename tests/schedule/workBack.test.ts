import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import type { DutyContent } from '@/lib/custody/testingEntries'
import type { Calendar } from '@/lib/hold/calendar'
import { getDayEnd, getWeekday, parseIsoDate, toCivilDate } from '@/lib/hold/zone'
import { ACTS } from '@/lib/schedule/act'
import { Occurrences } from '@/lib/schedule/occurrences'
import { findOwedTests } from '@/lib/schedule/owedTests'
import { workBack } from '@/lib/schedule/workBack'
import { chooseUsualOrLong } from '@/tests/setup/usualOrLong'
import { kit, makeProgramme, makeRegister, PACE } from './programme'

const toDate = (day: number) => {
  const { year, month, day: date } = toCivilDate(day)
  return `${year}-${String(month).padStart(2, '0')}-${String(date).padStart(2, '0')}`
}

const duty: DutyContent = {
  code: 'D',
  product: 'TILE',
  laboratory: 'NORTH',
  first: '2026-01-31',
  everyMonths: 1,
  windowDays: 28,
  kitDays: 4,
  loadDays: 1,
  testDays: 14,
  reportDays: 5,
}

test('acts are planned backwards over weekends, a holiday and days without a pickup', () => {
  const [owed] = findOwedTests(makeProgramme('2026-11-20T12:00:00Z', []), 0)
  expect(owed?.acts.map(({ act, actor, dueDay, zone }) => [act, actor.by, toDate(dueDay), zone])).toEqual([
    ['post kit', 'programme', '2026-10-29', 'Europe/Paris'],
    ['cut', 'plant', '2026-11-02', 'Europe/Lisbon'],
    ['hand over', 'plant', '2026-11-02', 'Europe/Lisbon'],
    ['receive', 'laboratory', '2026-11-05', 'America/New_York'],
    ['load', 'laboratory', '2026-11-06', 'America/New_York'],
    // Thursday 26 November is closed.
    ['end test', 'laboratory', '2026-11-20', 'America/New_York'],
    ['report', 'laboratory', '2026-11-30', 'America/New_York'],
  ])
})

test('a shutdown of the plant moves cutting and posting before it', () => {
  const register = makeRegister({ shutdowns: [{ plant: 'CORK', from: '2026-10-26', to: '2026-11-06' }] })
  const [owed] = findOwedTests(makeProgramme('2026-11-20T12:00:00Z', [], { register }), 0)
  expect(owed?.acts.slice(0, 2).map(({ dueDay }) => toDate(dueDay))).toEqual(['2026-10-19', '2026-10-23'])
})

test('without a transit time nothing before receipt has a day', () => {
  const pace = { ...PACE, p90TransitDays: () => null }
  const [owed] = findOwedTests(makeProgramme('2026-11-20T12:00:00Z', [], { pace }), 0)
  expect(owed?.acts.map(({ act }) => act)).toEqual(['receive', 'load', 'end test', 'report'])
})

describe('the tests of a duty', () => {
  const dues = (first: string, everyMonths: number, register = makeRegister()) =>
    [0, 1, 2, 3].map((number) =>
      toDate(new Occurrences({ ...duty, first, everyMonths }, register).at(number)?.dueDay as number),
    )

  test('are due by the ends of months counted from the first, without drift', () => {
    expect(dues('2026-01-31', 1)).toEqual(['2026-01-31', '2026-02-28', '2026-03-31', '2026-04-30'])
    expect(dues('2027-08-15', 6)).toEqual(['2027-08-15', '2028-02-29', '2028-08-31', '2029-02-28'])
  })

  test('are due before a certificate expires, but only the one during which it does', () => {
    const certificates = [
      { code: 'C1', product: 'TILE', issued: '2025-03-01', expires: '2026-02-10' },
      { code: 'C2', product: 'TILE', issued: '2025-04-01', expires: '2026-03-10' },
      { code: 'C3', product: 'PANEL', issued: '2025-04-01', expires: '2026-04-10' },
    ]
    const register = makeRegister({ certificates })
    expect(dues('2026-01-31', 1, register)).toEqual(['2026-01-31', '2026-02-28', '2026-03-10', '2026-04-30'])
  })

  test('are one for a duty that is owed once', () => {
    const { everyMonths: _, ...once } = duty
    const occurrences = new Occurrences(once, makeRegister())
    expect(occurrences.at(1)).toBeNull()
    expect(occurrences.findOpen(parseIsoDate('2031-01-01') as number)?.number).toBe(0)
  })

  test('count the kits issued while their window is open, and no kit twice', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: -400, max: 6000 }),
        fc.integer({ min: 1, max: 36 }),
        fc.integer({ min: 1, max: 28 }),
        (after, everyMonths, windowDays) => {
          const occurrences = new Occurrences({ ...duty, everyMonths, windowDays }, makeRegister())
          const day = (parseIsoDate(duty.first) as number) + after
          // The plain rule: count up from the first.
          let number = -1
          while ((occurrences.at(number + 1)?.opensDay as number) <= day) number += 1
          expect(occurrences.findOpen(day)?.number ?? -1).toBe(number)
        },
      ),
    )
  })
})

test('the look ahead has its limit, and a kit marks its acts as done', () => {
  const said = makeProgramme('2026-10-30T12:00:00Z', [
    [kit('AAAA222'), [['collected', '2026-10-30T10:00:00Z']]],
  ])
  expect(findOwedTests(said, 1000).map(({ dueDay }) => toDate(dueDay))).toEqual([
    '2026-11-30',
    '2027-11-30',
    '2028-11-30',
  ])
  expect(
    findOwedTests(said, 0)[0]
      ?.acts.filter(({ isDone }) => isDone)
      .map(({ act }) => act),
  ).toEqual(['post kit', 'cut'])
})

const zones = [
  'UTC',
  'America/New_York',
  'Asia/Kolkata',
  'Pacific/Auckland',
  'Europe/Lisbon',
  'Pacific/Honolulu',
]
const calendar: fc.Arbitrary<Calendar> = fc
  .record({
    zone: fc.constantFrom(...zones),
    weekdays: fc.uniqueArray(fc.integer({ min: 0, max: 6 }), { minLength: 1 }),
    closedFrom: fc.integer({ min: 20_400, max: 20_900 }),
    closedDays: fc.integer({ min: 0, max: 40 }),
  })
  .map(({ zone, weekdays, closedFrom, closedDays }) => ({
    zone,
    isOpen: (day) =>
      weekdays.includes(getWeekday(day)) && !(day >= closedFrom && day < closedFrom + closedDays),
  }))

test('acts are in order, and each is due on a working day of its actor', () => {
  const amount = fc.integer({ min: 0, max: 30 })
  fc.assert(
    fc.property(
      fc.record({ kitDays: amount, loadDays: amount, testDays: amount, reportDays: amount }),
      fc.tuple(calendar, calendar, calendar),
      fc.uniqueArray(fc.integer({ min: 0, max: 6 })),
      fc.integer({ min: 0, max: 30 }),
      fc.integer({ min: 20_454, max: 20_900 }),
      (amounts, [programme, plant, laboratory], pickups, transitDays, dueDay) => {
        const parties = {
          programme,
          plant: { code: 'P', calendar: plant },
          laboratory: { code: 'L', calendar: laboratory },
          isPickupDay: (day: number) => pickups.includes(getWeekday(day)),
        }
        const acts = workBack({ ...duty, ...amounts }, dueDay, parties, transitDays)
        expect(acts.map(({ act }) => act)).toEqual(Object.keys(ACTS))
        acts.forEach((one, index) => {
          const works = { programme, plant, laboratory }[one.actor.by]
          expect(works.isOpen(one.dueDay)).toBe(true)
          expect(one.dueAt).toBe(getDayEnd(one.dueDay, works.zone))
          expect(one.dueAt).toBeLessThanOrEqual(getDayEnd(dueDay, laboratory.zone))
          if (index > 0) expect(one.dueAt).toBeGreaterThanOrEqual(acts[index - 1]?.dueAt as number)
        })
      },
    ),
    { numRuns: chooseUsualOrLong({ usual: 500, long: 2_000 }) },
  )
})

test('a sample that leaves on its day arrives on its day after the transit time', () => {
  fc.assert(
    fc.property(
      calendar,
      fc.integer({ min: 0, max: 20 }),
      fc.integer({ min: 20_454, max: 20_900 }),
      (laboratory, transitDays, dueDay) => {
        const everyDay = { zone: laboratory.zone, isOpen: () => true }
        const parties = {
          programme: everyDay,
          plant: { code: 'P', calendar: everyDay },
          laboratory: { code: 'L', calendar: laboratory },
          isPickupDay: () => true,
        }
        const acts = workBack(duty, dueDay, parties, transitDays)
        const [left, there] = [acts[2]?.dueDay as number, acts[3]?.dueDay as number]
        const openIn = (from: number) => {
          let count = 0
          for (let day = from + 1; day <= there; day += 1) if (laboratory.isOpen(day)) count += 1
          return count
        }
        expect(openIn(left)).toBe(transitDays)
        // A day later there would be too few.
        if (transitDays > 0) expect(openIn(left + 1)).toBe(transitDays - 1)
      },
    ),
  )
})
