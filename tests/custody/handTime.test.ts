import { describe, expect, test } from 'vitest'
import { formatWithOffset, parseHandTime, splitDateAndTime } from '@/lib/custody/handTime'

const NOW = Date.parse('2026-10-30T16:10:20.500Z')
const at = (date: string, time: string, zone = 'America/Sao_Paulo') =>
  parseHandTime({ date, time }, zone, NOW)

describe('a time written by hand', () => {
  test('is now if the fields are empty, with the offset of the place', () => {
    expect(at('', '')).toEqual({ at: '2026-10-30T13:10:20-03:00' })
    expect(at(' ', '', 'Asia/Kolkata')).toEqual({ at: '2026-10-30T21:40:20+05:30' })
    expect(Date.parse(formatWithOffset('Asia/Kolkata', NOW))).toBe(NOW - 500)
  })

  test('is local if it is written', () => {
    expect(at('2026-10-29', '7:05')).toEqual({ at: '2026-10-29T07:05' })
    expect(at('2026-10-29', '0705')).toEqual({ at: '2026-10-29T07:05' })
    expect(at('2026-10-29', '')).toEqual({ at: '2026-10-29' })
  })

  test('without a date is today at that place', () => {
    const late = Date.parse('2026-10-30T23:30:00Z')
    expect(parseHandTime({ date: '', time: '04:00' }, 'Asia/Kolkata', late)).toEqual({
      at: '2026-10-31T04:00',
    })
    expect(parseHandTime({ date: '', time: '04:00' }, 'America/Sao_Paulo', late)).toEqual({
      at: '2026-10-30T04:00',
    })
  })

  test('is refused if it is still to come, but a day that has begun is not', () => {
    expect(at('', '13:11')).toMatchObject({ field: 'date' })
    expect(at('2026-10-30', '13:10')).toEqual({ at: '2026-10-30T13:10' })
    expect(at('2026-10-31', '')).toMatchObject({ field: 'date' })
    expect(at('2026-10-30', '')).toEqual({ at: '2026-10-30' })
  })

  test.each([
    ['2026-02-30', '', 'date'],
    ['30.10.2026', '', 'date'],
    ['2026-10-29', '24:00', 'time'],
    ['2026-10-29', 'noon', 'time'],
  ])('is refused as %s %s', (date, time, field) => expect(at(date, time)).toMatchObject({ field }))

  test('is split into date and time as it was written', () => {
    expect(splitDateAndTime('Asia/Kolkata', NOW)).toEqual({ date: '2026-10-30', time: '21:40' })
  })
})
