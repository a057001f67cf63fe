import { describe, expect, test } from 'vitest'
import { isReadingFault, type ReadingFault, readTime } from '@/lib/custody/reading'
import { english } from '@/lib/messages/english'

const instant = (at: string, zone: string | null = null) => {
  const reading = readTime(at, zone, null)
  if (isReadingFault(reading)) return english.message(reading.detail)
  expect(reading.latestAt).toBe(reading.earliestAt)
  return new Date(reading.earliestAt).toISOString()
}

describe('a time of RFC 3339 is read as the instant it names', () => {
  // Source: RFC 3339 (2002), section 5.8, as quoted in public test suites; the second of a leap becomes the last
  // millisecond of its minute, which is this programme's own rule.
  test.each([
    ['1985-04-12T23:20:50.52Z', '1985-04-12T23:20:50.520Z'],
    ['1996-12-19T16:39:57-08:00', '1996-12-20T00:39:57.000Z'],
    ['1990-12-31T23:59:60Z', '1990-12-31T23:59:59.999Z'],
    ['1990-12-31T15:59:60-08:00', '1990-12-31T23:59:59.999Z'],
    ['1937-01-01T12:00:27.87+00:20', '1937-01-01T11:40:27.870Z'],
  ])('%s is %s', (at, expected) => {
    expect(instant(at)).toBe(expected)
  })

  // Source: RFC 3339, section 4.3: -00:00 is UTC, with an unknown local offset; section 5.6: "t" and "z" may be
  // small, and a blank may stand for the "T".
  test.each([
    ['2026-10-30T16:10:00-00:00', '2026-10-30T16:10:00.000Z'],
    ['2026-10-30t16:10:00z', '2026-10-30T16:10:00.000Z'],
    ['2026-10-30 16:10:00+05:30', '2026-10-30T10:40:00.000Z'],
  ])('%s is %s', (at, expected) => {
    expect(instant(at)).toBe(expected)
  })

  test('and a fraction beyond the millisecond is cut off, never rounded up', () => {
    expect(instant('2026-10-30T23:59:59.9999999Z')).toBe('2026-10-30T23:59:59.999Z')
    expect(instant('2026-10-30T16:10:00.0006Z')).toBe('2026-10-30T16:10:00.000Z')
  })

  test.each([
    '2026-02-29T10:00:00Z',
    '2026-13-01T10:00:00Z',
    '2026-10-30T24:00:00Z',
    '2026-10-30T10:60:00Z',
    '2026-10-30T10:00:61Z',
    '2026-10-30T10:00:00+24:00',
    '2026-10-30T10:00:00+0100',
    '2026-10-30T10:00:00.Z',
    '2026-10-30T10Z',
    '30 October 2026',
  ])('%s is no such time', (at) => {
    expect(isReadingFault(readTime(at, null, null))).toBe(true)
  })
})

describe('a time whose offset contradicts its zone', () => {
  // Source: RFC 9557 (2024), section 3.3 (Paris) and section 3.4 (London).
  test.each([
    ['2022-07-08T00:14:07+01:00', 'Europe/Paris', '+02:00'],
    ['2022-07-08T00:14:07+00:00', 'Europe/London', '+01:00'],
  ])('is refused: %s in %s, which was at %s', (at, zone, actual) => {
    const reading = readTime(at, zone, null)
    expect(reading).toMatchObject({ field: 'at' })
    expect((reading as ReadingFault).right.values).toMatchObject({ offset: actual })
  })

  test.each([
    ['2022-07-08T00:14:07Z', 'Europe/Paris'],
    ['2022-07-08T00:14:07Z', 'Europe/London'],
    ['2022-07-08T00:14:07-00:00', 'Europe/Paris'],
    ['2022-07-08T02:14:07+02:00', 'Europe/Paris'],
    ['2022-07-08T01:14:07+01:00', 'Europe/London'],
  ])('does not include %s in %s, which is one and the same instant', (at, zone) => {
    expect(instant(at, zone)).toBe('2022-07-08T00:14:07.000Z')
  })

  test('is judged at its instant: in a repeated hour both offsets are right, and no third', () => {
    // New York, 1 November 2026: 01:30 comes at -04:00 and again at -05:00.
    expect(instant('2026-11-01T01:30:00-04:00', 'America/New_York')).toBe('2026-11-01T05:30:00.000Z')
    expect(instant('2026-11-01T01:30:00-05:00', 'America/New_York')).toBe('2026-11-01T06:30:00.000Z')
    expect(isReadingFault(readTime('2026-11-01T01:30:00-06:00', 'America/New_York', null))).toBe(true)
    // An hour later only -05:00 is.
    expect(isReadingFault(readTime('2026-11-01T02:30:00-04:00', 'America/New_York', null))).toBe(true)
  })

  test('is not judged by the zone of its place, which does not claim anything', () => {
    expect(readTime('2022-07-08T00:14:07+01:00', null, 'Europe/Paris')).toEqual({
      earliestAt: Date.parse('2022-07-07T23:14:07Z'),
      latestAt: Date.parse('2022-07-07T23:14:07Z'),
    })
  })
})
