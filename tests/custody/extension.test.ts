import { describe, expect, test } from 'vitest'
import { deriveKit, event, findClock, getState, iso, listFlags, registerWithLimits } from './desk'

const cut = event('collected', '2026-10-20T10:00:00Z')
const extended = (at: string, until: string, more: Record<string, unknown> = {}) =>
  event('extended', at, {
    facts: { limit: 'cut to chamber', until, approvedBy: 'programme', reason: 'snow' },
    ...more,
  })
const dues = (...events: ReturnType<typeof event>[]) => {
  const { dueAt, firstDueAt } = findClock(deriveKit([cut, ...events]), 'cut to chamber')
  return [iso(dueAt), iso(firstDueAt)]
}
// Day 10 in New York is 30 October, which ends at 04:00 UTC.
const FIRST_DUE = '2026-10-31T03:59:59.999Z'

describe('an extension', () => {
  const granted = extended('2026-10-25T10:00:00Z', '2026-11-05T17:00:00Z')

  test('gives its clock a new due, and the first due stays visible', () => {
    expect(dues()).toEqual([FIRST_DUE, null])
    expect(dues(granted)).toEqual(['2026-11-05T17:00:00.000Z', FIRST_DUE])
  })

  test('does not affect other clocks', () => {
    expect(findClock(deriveKit([cut, granted]), 'cut to carrier').firstDueAt).toBeNull()
  })

  test('keeps what would have lapsed', () => {
    const loaded = event('loaded', '2026-11-05T17:00:00Z')
    expect(getState(deriveKit([cut, loaded]), 'cut to chamber')).toBe('lapsed')
    expect(getState(deriveKit([cut, loaded, granted]), 'cut to chamber')).toBe('kept')
  })

  test('with the latest `at` counts, even if its due is earlier', () => {
    const later = extended('2026-10-26T10:00:00Z', '2026-11-02T17:00:00Z')
    expect(dues(granted, later)[0]).toBe('2026-11-02T17:00:00.000Z')
    expect(dues(later, granted)[0]).toBe('2026-11-02T17:00:00.000Z')
  })

  test('with the same `at` as another is chosen by source, then by id', () => {
    const at = '2026-10-26T10:00:00Z'
    const byA = extended(at, '2026-11-02T17:00:00Z', { source: 'a', id: '9' })
    const byB = extended(at, '2026-11-03T17:00:00Z', { source: 'b', id: '1' })
    const byB2 = extended(at, '2026-11-04T17:00:00Z', { source: 'b', id: '2' })
    expect([dues(byA, byB)[0], dues(byB, byA)[0]]).toEqual([
      '2026-11-03T17:00:00.000Z',
      '2026-11-03T17:00:00.000Z',
    ])
    expect([dues(byB2, byA, byB)[0], dues(byA, byB, byB2)[0]]).toEqual([
      '2026-11-04T17:00:00.000Z',
      '2026-11-04T17:00:00.000Z',
    ])
  })

  test('until a date runs through its end in the zone of its place', () => {
    expect(dues(extended('2026-10-25T10:00:00Z', '2026-11-05', { place: 'NORTH' }))[0]).toBe(
      '2026-11-06T04:59:59.999Z',
    )
  })

  test('that is withdrawn restores the first due', () => {
    const gone = event('withdrawn', '2026-10-27T10:00:00Z', { corrects: `desk/${granted.id}` })
    expect(dues(granted, gone)).toEqual([FIRST_DUE, null])
  })

  test('that is dated in the future does not count yet', () => {
    expect(dues(extended('2026-11-11T10:00:00Z', '2026-11-25T17:00:00Z'))).toEqual([FIRST_DUE, null])
  })

  test('that comes after the first due changes nothing, and is flagged', () => {
    const inTime = extended(FIRST_DUE, '2026-11-05T17:00:00Z', { id: 'in time' })
    const late = extended('2026-10-31T04:00:00Z', '2026-11-05T17:00:00Z', { id: 'late' })
    expect(dues(inTime)).toEqual(['2026-11-05T17:00:00.000Z', FIRST_DUE])
    expect(dues(late)).toEqual([FIRST_DUE, null])
    expect(getState(deriveKit([cut, late]), 'cut to chamber')).toBe('overrun')
    expect(deriveKit([cut, late]).flags).toMatchObject([
      {
        kind: 'extension without effect',
        detail: { key: 'flag.extendedLate.detail' },
        events: ['desk/late'],
      },
    ])
    expect(listFlags(deriveKit([cut, inTime]))).toEqual([])
  })

  test('counts by its earliest reading, and each of several is held against the first due', () => {
    const day = { place: 'NORTH' }
    expect(dues(extended('2026-10-30', '2026-11-05T17:00:00Z', day))[0]).toBe('2026-11-05T17:00:00.000Z')
    const late = extended('2026-11-04T10:00:00Z', '2026-11-09T17:00:00Z')
    const sample = deriveKit([cut, granted, late])
    expect(iso(findClock(sample, 'cut to chamber').dueAt)).toBe('2026-11-05T17:00:00.000Z')
    expect(listFlags(sample)).toEqual(['extension without effect'])
  })

  test('of a limit that cannot be extended changes nothing, and is flagged', () => {
    const register = registerWithLimits({ 'cut to chamber': { extendable: false } })
    const sample = deriveKit([cut, granted], { register })
    expect(findClock(sample, 'cut to chamber')).toMatchObject({ firstDueAt: null })
    expect(sample.flags).toMatchObject([
      { kind: 'extension without effect', detail: { key: 'flag.notExtendable.detail' } },
    ])
  })

  test('of an unknown limit is flagged', () => {
    const other = event('extended', '2026-10-25T10:00:00Z', {
      facts: { limit: 'made to report', until: '2026-11-05T17:00:00Z' },
    })
    expect(listFlags(deriveKit([cut, other]))).toEqual(['unknown limit'])
    expect(listFlags(deriveKit([cut, granted]))).toEqual([])
  })
})
