import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { computeExpectedDays, type PossibleArrival } from '@/lib/lane/forecast/arrivals'

const alone = (day: number, chance: number): PossibleArrival => ({ size: 1, days: [{ day, chance }] })

describe('what a laboratory should expect', () => {
  test('is nothing where nothing is on its way', () =>
    expect(computeExpectedDays([], [7])).toEqual([{ day: 7, mean: 0, low: 0, high: 0 }]))

  test('is 0 to 2 for two arrivals of chance one half: 1 of 4 brings none, 1 of 4 brings both', () =>
    expect(computeExpectedDays([alone(7, 0.5), alone(7, 0.5)], [7])).toEqual([
      { day: 7, mean: 1, low: 0, high: 2 },
    ]))

  test('counts the samples of a box together: all or none', () =>
    expect(computeExpectedDays([{ size: 6, days: [{ day: 7, chance: 0.95 }] }], [7])).toEqual([
      { day: 7, mean: 0.95 * 6, low: 6, high: 6 },
    ]))

  test('keeps days apart', () =>
    expect(
      computeExpectedDays(
        [
          {
            size: 2,
            days: [
              { day: 7, chance: 1 / 4 },
              { day: 8, chance: 3 / 4 },
            ],
          },
        ],
        [7, 8, 9],
      ).map(({ mean }) => mean),
    ).toEqual([0.5, 1.5, 0]))

  test('agrees with the enumeration of all outcomes', () => {
    const anyThrow = fc.record({
      size: fc.integer({ min: 1, max: 4 }),
      chance: fc.constantFrom(0.1, 0.25, 0.5, 0.9, 1),
    })
    fc.assert(
      fc.property(fc.array(anyThrow, { maxLength: 9 }), (throws) => {
        const chances = new Map<number, number>()
        for (let which = 0; which < 2 ** throws.length; which += 1) {
          let [number, chance] = [0, 1]
          throws.forEach((one, index) => {
            const comes = Math.floor(which / 2 ** index) % 2 === 1
            number += comes ? one.size : 0
            chance *= comes ? one.chance : 1 - one.chance
          })
          chances.set(number, (chances.get(number) ?? 0) + chance)
        }
        const numbers = [...chances].sort(([a], [b]) => a - b)
        const least = (share: number) => {
          let sum = 0
          for (const [number, chance] of numbers) {
            sum += chance
            if (sum >= share - 1e-9) return number
          }
        }
        const [day] = computeExpectedDays(
          throws.map(({ size, chance }) => ({ size, days: [{ day: 3, chance }] })),
          [3],
        )
        expect(day?.mean).toBeCloseTo(
          numbers.reduce((sum, [number, chance]) => sum + number * chance, 0),
          9,
        )
        expect([day?.low, day?.high]).toEqual([least(0.1), least(0.9)])
      }),
    )
  })
})
