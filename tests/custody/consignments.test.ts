import { describe, expect, test } from 'vitest'
import {
  code,
  consignmentEvent,
  deriveKit,
  event,
  KIT,
  listUnplaced,
  NOW,
  readMilestone,
  SECOND,
} from './desk'

const left = (at: string, more: Record<string, unknown> = {}) =>
  event('dispatched', at, { service: 'air', waybill: 'W1', ...more })
const arrived = (at: string, more: Record<string, unknown> = {}) =>
  consignmentEvent('received', at, { id: 'in', ...more })
/** Whether the arrival counts for the sample, and whether it is unplaced; never both. */
const counts = (events: ReturnType<typeof event>[], now = NOW) => {
  const isCounted = readMilestone(deriveKit(events, { now }), 'received') !== null
  expect(listUnplaced(events, now).includes('in')).toBe(!isCounted)
  return isCounted
}

describe('an event of a consignment', () => {
  test('counts for every sample whose dispatch names its service and waybill', () => {
    const events = [
      left('2026-10-20T15:00:00Z'),
      left('2026-10-20T15:00:00Z', { id: 'second', sample: SECOND }),
      arrived('2026-10-22T15:00:00Z'),
    ]
    for (const of of [KIT, SECOND])
      expect(readMilestone(deriveKit(events, { of }), 'received')).toBe('2026-10-22T15:00:00.000Z')
    expect(listUnplaced(events)).toEqual([])
  })

  test('is unplaced until a dispatch names its service and waybill', () => {
    expect(counts([arrived('2026-10-22T15:00:00Z')])).toBe(false)
    expect(counts([arrived('2026-10-22T15:00:00Z'), left('2026-10-20T15:00:00Z')])).toBe(true)
  })

  // 60 x 86,400 s after 1 September 2026, 10:00 UTC is 31 October, 10:00 UTC.
  test.each([
    ['exactly 60 days after the dispatch', '2026-09-01T10:00:00Z', '2026-10-31T10:00:00Z', true],
    ['a millisecond more', '2026-09-01T10:00:00Z', '2026-10-31T10:00:00.001Z', false],
    ['exactly 60 days before it', '2026-10-31T10:00:00Z', '2026-09-01T10:00:00Z', true],
    ['a millisecond more before it', '2026-10-31T10:00:00.001Z', '2026-09-01T10:00:00Z', false],
  ])('%s: counts: %s to %s: %s', (_, dispatch, arrival, expected) => {
    expect(counts([left(dispatch), arrived(arrival)])).toBe(expected)
  })

  test('is compared by earliest readings', () => {
    // 31 October in New York begins at 04:00 UTC, within 60 days; it ends 24 hours later, beyond them.
    expect(counts([left('2026-09-01T10:00:00Z'), arrived('2026-10-31', { place: 'NORTH' })])).toBe(true)
    expect(counts([left('2026-09-01T03:59:59.999Z'), arrived('2026-10-31', { place: 'NORTH' })])).toBe(false)
  })

  test('does not count for another service with the same waybill', () => {
    expect(
      counts([left('2026-10-20T15:00:00Z', { service: 'ground' }), arrived('2026-10-22T15:00:00Z')]),
    ).toBe(false)
  })

  test('has a waybill that is compared without case, blanks and hyphens', () => {
    const dispatch = left('2026-10-20T15:00:00Z', { waybill: 'ab-12 cd 34' })
    expect(counts([dispatch, arrived('2026-10-22T15:00:00Z', { waybill: 'AB12-CD34' })])).toBe(true)
    expect(counts([dispatch, arrived('2026-10-22T15:00:00Z', { waybill: 'AB12CD35' })])).toBe(false)
  })

  test('is placed only by a counted dispatch, not by a corrected one', () => {
    const correction = event('dispatched', '2026-10-20T16:00:00Z', { corrects: 'desk/gone' })
    expect(
      counts([left('2026-10-20T15:00:00Z', { id: 'gone' }), correction, arrived('2026-10-22T15:00:00Z')]),
    ).toBe(false)
  })

  test('is placed once a future dispatch counts, and not before', () => {
    const events = [left('2026-11-10T12:00:00.001Z'), arrived('2026-11-09T15:00:00Z')]
    expect(counts(events, NOW)).toBe(false)
    expect(counts(events, NOW + 1)).toBe(true)
  })

  test('is not placed by another milestone that names service and waybill', () => {
    const delivered = event('delivered', '2026-10-21T15:00:00Z', { service: 'air', waybill: 'W1' })
    expect(counts([delivered, arrived('2026-10-22T15:00:00Z')])).toBe(false)
  })

  test('is not placed by a dispatch of a consignment', () => {
    expect(
      counts([consignmentEvent('dispatched', '2026-10-20T15:00:00Z'), arrived('2026-10-22T15:00:00Z')]),
    ).toBe(false)
  })

  test('is not placed by a dispatch of an unknown kit', () => {
    const unknown = left('2026-10-20T15:00:00Z', { sample: code('ZZZZ999') })
    expect(listUnplaced([unknown, arrived('2026-10-22T15:00:00Z')]).sort()).toEqual([unknown.id, 'in'].sort())
  })

  test('may be within 60 days of one sample and not of another', () => {
    const events = [
      left('2026-08-01T15:00:00Z'),
      left('2026-10-20T15:00:00Z', { id: 'second', sample: SECOND }),
      arrived('2026-10-22T15:00:00Z'),
    ]
    expect([KIT, SECOND].map((of) => readMilestone(deriveKit(events, { of }), 'received'))).toEqual([
      null,
      '2026-10-22T15:00:00.000Z',
    ])
  })
})

test('an event that names a sample says nothing about others under its waybill', () => {
  const events = [
    left('2026-10-20T15:00:00Z'),
    left('2026-10-20T15:00:00Z', { id: 'second', sample: SECOND }),
    event('received', '2026-10-22T15:00:00Z', { service: 'air', waybill: 'W1' }),
  ]
  expect([KIT, SECOND].map((of) => readMilestone(deriveKit(events, { of }), 'received'))).toEqual([
    '2026-10-22T15:00:00.000Z',
    null,
  ])
})
