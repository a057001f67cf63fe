import { describe, expect, test } from 'vitest'
import { buildTestModel, day, journey, lanePlaces, ms } from '../lanes'

const NOW = '2026-09-30T12:00:00Z'
/** Receipts at 10:30 in New York (14:30Z in summer), one a day. */
const atHalfPastTen = (count: number, parts: Parameters<typeof journey>[0] = {}) =>
  Array.from({ length: count }, (_, index) =>
    journey({ received: new Date(Date.UTC(2026, 7, 1 + index, 14, 30)).toISOString(), ...parts }),
  )
const shareBy = (
  journeys: ReturnType<typeof atHalfPastTen>,
  at: string,
  date = '2026-09-16',
  places = lanePlaces(),
) => buildTestModel(journeys, NOW, places).times.getTimes('received', 'L1').shareBy(day(date), ms(at))

describe('the time of day of what happens on a day', () => {
  test('is uniform over the opening hours without data', () => {
    // 08:00 to 16:00 in New York are 12:00Z to 20:00Z.
    expect(shareBy([], '2026-09-16T11:00:00Z')).toBe(0)
    expect(shareBy([], '2026-09-16T14:00:00Z')).toBeCloseTo(0.25, 12)
    expect(shareBy([], '2026-09-16T20:00:00Z')).toBe(1)
    expect(shareBy([], '2026-09-16T23:00:00Z')).toBe(1)
  })

  test('leaves out the break of a laboratory that closes at noon', () => {
    const places = lanePlaces({
      hours: [
        [480, 720],
        [780, 960],
      ],
    })
    // 4 and 3 hours: by 13:00 local the first 4 have passed, by 14:00 five of seven.
    expect(shareBy([], '2026-09-16T17:00:00Z', '2026-09-16', places)).toBeCloseTo(4 / 7, 12)
    expect(shareBy([], '2026-09-16T18:00:00Z', '2026-09-16', places)).toBeCloseTo(5 / 7, 12)
  })

  test("follows the laboratory's own times, shrunk to the opening hours with weight 20", () => {
    // By 10:29, 149/480 of the hours have passed and no receipt has come; by 10:30 all 60 have, and 150/480.
    const many = atHalfPastTen(60)
    expect(shareBy(many, '2026-09-16T14:29:00Z')).toBeCloseTo((20 * 149) / 480 / 80, 12)
    expect(shareBy(many, '2026-09-16T14:30:00Z')).toBeCloseTo((60 + (20 * 150) / 480) / 80, 12)
  })

  test('a box counts as one, and a date without a time does not count', () => {
    const box = atHalfPastTen(4, { consignment: 'W1' })
    const expected = (1 + (20 * 150) / 480) / 21
    expect(shareBy(box, '2026-09-16T14:30:00Z')).toBeCloseTo(expected, 12)
    const dates = [...box, journey({ received: '2026-09-15' })]
    expect(shareBy(dates, '2026-09-16T14:30:00Z')).toBeCloseTo(expected, 12)
  })

  test('is 0 before the day and 1 after it', () => {
    expect(shareBy([], '2026-09-16T03:59:59Z')).toBe(0)
    expect(shareBy([], '2026-09-17T04:00:00Z')).toBe(1)
  })

  test('counts only what is left after a time that has passed', () => {
    const { times } = buildTestModel([], NOW)
    const within = (from: string, to: string) =>
      times.getTimes('received', 'L1').shareAfter(day('2026-09-16'), ms(from), ms(to))
    // From noon, half of the hours are left; by 14:00, half of those are gone.
    expect(within('2026-09-16T16:00:00Z', '2026-09-16T18:00:00Z')).toBeCloseTo(0.5, 12)
    expect(within('2026-09-15T16:00:00Z', '2026-09-16T18:00:00Z')).toBeCloseTo(0.75, 12)
    expect(within('2026-09-16T18:00:00Z', '2026-09-16T18:00:00Z')).toBe(0)
    // After closing, any time left in the day is equally likely: 22:00Z is two of the eight hours on.
    expect(within('2026-09-16T20:00:00Z', '2026-09-16T22:00:00Z')).toBeCloseTo(0.25, 6)
  })

  test('uses the whole day of a plant without hours, or its own times', () => {
    const cut = atHalfPastTen(0)
    const { times } = buildTestModel(cut, NOW)
    // 11:00Z is noon in Lisbon.
    expect(times.getTimes('dispatched', 'P1').shareBy(day('2026-09-16'), ms('2026-09-16T11:00:00Z'))).toBe(
      0.5,
    )
  })
})
