import { describe, expect, test } from 'vitest'
import { dueAt } from '@/lib/hold/due'
import { isLimit, limitFaults } from '@/lib/hold/limit'
import { reckon } from '@/lib/hold/reckoning'
import { CHOICES, findCalendarOwner, findWay, formatChoice, LIMIT_UNITS, UNITS } from '@/lib/hold/units'
import { lastInstantOf } from '@/lib/hold/zone'
import { limit, limitFields, ms, places } from './places'

const START = ms('2026-10-30T16:10:00Z')

test('every unit can be chosen in every way in which it is counted', () => {
  const chosen = new Set([...CHOICES.values()].map(({ unit, counting }) => `${unit} ${counting ?? ''}`))
  const counted = LIMIT_UNITS.flatMap((unit) => {
    const ways = (['elapsed', 'calendar'] as const).filter((by) => UNITS[unit][by])
    return ways.map((by) => `${unit} ${ways.length > 1 ? by : ''}`)
  })
  expect(chosen).toEqual(new Set(counted))
})

describe.each([...CHOICES])('a limit in %s', (choice, says) => {
  const of = (amount: number) => limit({ ...says, amount })

  test('is sound, and written as it was chosen', () => {
    expect(limitFaults(limitFields(says))).toEqual([])
    expect(formatChoice(of(3))).toBe(choice)
  })

  test('is due the later the larger it is, and 0 of it is never before the start', () => {
    const dues = [0, 1, 2, 3, 40, 10_000].map((amount) => dueAt(of(amount), START, places()))
    expect(dues).toEqual([...dues].sort((a, b) => a - b))
    expect(new Set(dues).size).toBe(dues.length)
    expect(dues[0]).toBeGreaterThanOrEqual(START)
  })

  test('has a sum that ends where it is due', () => {
    const { zone, zoneOf, steps, dueAt: due } = reckon(of(3), START, places())
    expect(due).toBe(dueAt(of(3), START, places()))
    expect(zoneOf).toBe(findCalendarOwner(of(3)))
    if (findWay(of(3)).by === 'elapsed') expect([zone, steps]).toEqual([null, []])
    else expect(lastInstantOf(steps.at(-1)?.day as number, zone as string)).toBe(due)
  })
})

describe.each(LIMIT_UNITS)('the unit %s', (unit) => {
  const { elapsed, calendar } = UNITS[unit]
  const isSound = (says: Parameters<typeof limitFields>[0]) => isLimit(limitFields({ ...says, unit }))

  test('has a limit say how it is counted where it can be both, and only there', () => {
    const isBoth = elapsed !== undefined && calendar !== undefined
    expect([isSound({}), isSound({ counting: 'elapsed' }), isSound({ counting: 'calendar' })]).toEqual([
      !isBoth,
      isBoth,
      isBoth,
    ])
    if (isBoth) expect(() => findWay({ unit } as never)).toThrow(RangeError)
  })

  test('has a zone of choice where local days of either side are counted, and only there', () => {
    const counting = elapsed && calendar ? ('calendar' as const) : undefined
    expect(isSound({ counting, zone: 'plant' })).toBe(calendar?.hasChoiceOfOwner ?? false)
    if (elapsed && calendar) expect(isSound({ counting: 'elapsed', zone: 'plant' })).toBe(false)
  })
})
