import { describe, expect, test } from 'vitest'
import { computeDueAt, computeEarliestStopAt } from '@/lib/hold/due'
import { explainDue } from '@/lib/hold/dueBreakdown'
import { findLimitFaults, isLimit } from '@/lib/hold/limit'
import {
  COUNTING_CHOICES,
  findCalendarOwner,
  findCountingMethod,
  formatCountingChoice,
  LIMIT_UNITS,
  UNITS,
} from '@/lib/hold/units'
import { getDayEnd, getDayStart, toLocalDay } from '@/lib/hold/zone'
import { limit, limitFields, ms, places } from './places'

const START = ms('2026-10-30T16:10:00Z')

test('every method of every unit can be chosen', () => {
  const chosen = new Set(
    [...COUNTING_CHOICES.values()].map(({ unit, counting }) => `${unit} ${counting ?? ''}`),
  )
  const counted = LIMIT_UNITS.flatMap((unit) => {
    const ways = (['elapsed', 'calendar'] as const).filter((by) => UNITS[unit][by])
    return ways.map((by) => `${unit} ${ways.length > 1 ? by : ''}`)
  })
  expect(chosen).toEqual(new Set(counted))
})

describe.each([...COUNTING_CHOICES])('a limit in %s', (choice, says) => {
  const of = (amount: number) => limit({ ...says, amount })

  test('is sound, and written as it was chosen', () => {
    expect(findLimitFaults(limitFields(says))).toEqual([])
    expect(formatCountingChoice(of(3))).toBe(choice)
  })

  test('is due later the larger it is, and with 0 not before the start', () => {
    const dues = [0, 1, 2, 3, 40, 10_000].map((amount) => computeDueAt(of(amount), START, places()))
    expect(dues).toEqual([...dues].sort((a, b) => a - b))
    expect(new Set(dues).size).toBe(dues.length)
    expect(dues[0]).toBeGreaterThanOrEqual(START)
  })

  test('lets go, for a least time, within the day that an amount of as many ends with, if it may have one', () => {
    const method = findCountingMethod(of(3))
    if (method.by === 'calendar' && !method.hasLeastTime) {
      expect(findLimitFaults(limitFields({ ...says, atLeast: 1 })).map(({ field }) => field)).toEqual([
        'atLeast',
      ])
      return
    }
    const stops = [0, 1, 2, 3, 40].map(
      (atLeast) => computeEarliestStopAt({ ...of(40), atLeast }, START, places()) as number,
    )
    const dues = [0, 1, 2, 3, 40].map((amount) => computeDueAt(of(amount), START, places()))
    const zone = explainDue(of(3), START, places()).zone
    expect(stops).toEqual(dues.map((due) => (zone === null ? due : getDayStart(toLocalDay(due, zone), zone))))
    expect(computeEarliestStopAt(of(3), START, places())).toBeNull()
  })

  test('has a sum that ends at its due', () => {
    const { zone, zoneOwner: zoneOf, steps, dueAt: due } = explainDue(of(3), START, places())
    expect(due).toBe(computeDueAt(of(3), START, places()))
    expect(zoneOf).toBe(findCalendarOwner(of(3)))
    if (findCountingMethod(of(3)).by === 'elapsed') expect([zone, steps]).toEqual([null, []])
    else expect(getDayEnd(steps.at(-1)?.day as number, zone as string)).toBe(due)
  })
})

describe.each(LIMIT_UNITS)('the unit %s', (unit) => {
  const { elapsed, calendar } = UNITS[unit]
  const isSound = (says: Parameters<typeof limitFields>[0]) => isLimit(limitFields({ ...says, unit }))

  test('asks for the method only if it has two', () => {
    const isBoth = elapsed !== undefined && calendar !== undefined
    expect([isSound({}), isSound({ counting: 'elapsed' }), isSound({ counting: 'calendar' })]).toEqual([
      !isBoth,
      isBoth,
      isBoth,
    ])
    if (isBoth) expect(() => findCountingMethod({ unit } as never)).toThrow(RangeError)
  })

  test('has a choice of zone only for local days of either side', () => {
    const counting = elapsed && calendar ? ('calendar' as const) : undefined
    expect(isSound({ counting, zone: 'plant' })).toBe(calendar?.hasChoiceOfOwner ?? false)
    if (elapsed && calendar) expect(isSound({ counting: 'elapsed', zone: 'plant' })).toBe(false)
  })
})
