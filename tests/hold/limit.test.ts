import { describe, expect, test } from 'vitest'
import { findLimitFaults } from '@/lib/hold/limit'
import { limitFields } from './places'

const fields = (parts: Parameters<typeof limitFields>[0]) =>
  findLimitFaults(limitFields(parts)).map(({ field }) => field)

describe('a hold limit', () => {
  test.each([
    { amount: 0, unit: 'hours' },
    { amount: 10_000, unit: 'hours' },
    { amount: 10, unit: 'days', counting: 'elapsed' },
    { amount: 10, unit: 'days', counting: 'calendar' },
    { amount: 10, unit: 'days', counting: 'calendar', zone: 'plant' },
    { amount: 10, unit: 'days', counting: 'calendar', zone: 'laboratory' },
    { amount: 6, unit: 'months' },
    { amount: 6, unit: 'months', zone: 'plant' },
    { amount: 3, unit: 'working days' },
  ] as const)('is sound as %o', (parts) => {
    expect(fields(parts)).toEqual([])
  })

  test.each([-1, 10_001, 1.5, Number.NaN, Number.POSITIVE_INFINITY])('has no amount of %d', (amount) => {
    expect(fields({ amount })).toEqual(['amount'])
  })

  test.each([
    { atLeast: 0 },
    { atLeast: 10 },
    { atLeast: 2, unit: 'days', counting: 'calendar', zone: 'plant' },
    { atLeast: 2, unit: 'days', counting: 'elapsed' },
    { atLeast: 2, unit: 'weeks', counting: 'calendar' },
    { atLeast: 2, unit: 'working days' },
    { extendable: false },
  ] as const)('may have %o besides', (parts) => {
    expect(fields(parts)).toEqual([])
  })

  test.each([-1, 1.5, 11, Number.NaN])('of 10 has no least time of %d', (atLeast) => {
    expect(fields({ atLeast })).toEqual(['atLeast'])
  })

  test('in months has no least time', () => {
    expect(fields({ atLeast: 1, unit: 'months' })).toEqual(['atLeast'])
  })

  test('in days must say how they are counted', () => {
    expect(fields({ unit: 'days' })).toEqual(['counting'])
  })

  test.each(['hours', 'months', 'working days'] as const)(
    'in %s must not say how they are counted',
    (unit) => {
      expect(fields({ unit, counting: 'calendar' })).toEqual(['counting'])
      expect(fields({ unit, counting: 'elapsed' })).toEqual(['counting'])
    },
  )

  test.each([{ unit: 'hours' }, { unit: 'days', counting: 'elapsed' }, { unit: 'working days' }] as const)(
    'takes no zone of choice as %o',
    (parts) => {
      expect(fields({ ...parts, zone: 'plant' })).toEqual(['zone'])
      expect(fields({ ...parts, zone: 'laboratory' })).toEqual(['zone'])
    },
  )

  test('runs from one milestone to another one', () => {
    expect(fields({ from: 'loaded', to: 'loaded' })).toEqual(['to'])
  })

  test('lists all its faults', () => {
    expect(fields({ amount: -1, unit: 'working days', counting: 'calendar', zone: 'plant' })).toEqual([
      'amount',
      'counting',
      'zone',
    ])
  })
})
