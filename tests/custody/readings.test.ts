import { describe, expect, test } from 'vitest'
import { english } from '@/lib/messages/english'
import { consignmentEvent, deriveKit, event, findClock, getState, iso, listFlags, NOW } from './desk'

const bounds = (
  events: ReturnType<typeof event>[],
  milestone: 'collected' | 'dispatched' | 'received' | 'loaded',
) => {
  const reading = deriveKit(events).history.milestones.get(milestone)
  return [iso(reading?.earliestAt), iso(reading?.latestAt)]
}

describe('the reading that makes the sample look least fresh counts', () => {
  const morning = event('dispatched', '2026-10-21T08:00:00Z')
  const evening = event('dispatched', '2026-10-21T20:00:00Z', { source: 'carrier' })
  const before = event('collected', '2026-10-20T10:00:00Z')

  test('the earliest if it starts a clock, the latest if it stops one', () => {
    const sample = deriveKit([before, morning, evening])
    expect(iso(findClock(sample, 'in transit').startedAt)).toBe('2026-10-21T08:00:00.000Z')
    expect(iso(findClock(sample, 'cut to carrier').stoppedAt)).toBe('2026-10-21T20:00:00.000Z')
    // 24 hours from the cut: kept by the morning's report alone, lapsed by the evening's.
    expect(getState(deriveKit([before, morning]), 'cut to carrier')).toBe('kept')
    expect(getState(sample, 'cut to carrier')).toBe('lapsed')
  })

  test('whether reported for the sample or for its consignment', () => {
    const own = event('dispatched', '2026-10-21T08:00:00Z', { id: 'own', service: 'air', waybill: 'W1' })
    const sample = deriveKit([before, own, consignmentEvent('dispatched', '2026-10-21T20:00:00Z')])
    expect(iso(findClock(sample, 'cut to carrier').stoppedAt)).toBe('2026-10-21T20:00:00.000Z')
  })

  test('of a date alone: its first millisecond as a start, its last as a stop, in its place', () => {
    // 20 October in Lisbon is +01:00, 22 October in New York -04:00.
    const cut = event('collected', '2026-10-20', { place: 'CORK' })
    const loaded = event('loaded', '2026-10-22', { place: 'NORTH' })
    const clock = findClock(deriveKit([cut, loaded]), 'cut to chamber')
    expect([iso(clock.startedAt), iso(clock.stoppedAt)]).toEqual([
      '2026-10-19T23:00:00.000Z',
      '2026-10-23T03:59:59.999Z',
    ])
  })

  test('of a date and a time within it: the whole day, for the date is a report too, and they do not disagree', () => {
    const sample = deriveKit([
      event('collected', '2026-10-20', { place: 'CORK' }),
      event('collected', '2026-10-20T10:00:00Z'),
    ])
    expect(iso(findClock(sample, 'cut to chamber').startedAt)).toBe('2026-10-19T23:00:00.000Z')
    expect(listFlags(sample)).not.toContain('reports disagree')
  })

  test('of a time outside the other one’s day, and the disagreement is shown', () => {
    const sample = deriveKit([
      event('collected', '2026-10-20', { place: 'CORK' }),
      event('collected', '2026-10-19T10:00:00Z'),
    ])
    expect(iso(findClock(sample, 'cut to chamber').startedAt)).toBe('2026-10-19T10:00:00.000Z')
    expect(sample.flags).toContainEqual(
      expect.objectContaining({
        kind: 'reports disagree',
        events: ['desk/collected at 2026-10-19T10:00:00Z', 'desk/collected at 2026-10-20'],
      }),
    )
  })

  test('of a local time that comes twice: its first instant as a start, its second as a stop', () => {
    // New York, 1 November 2026, 01:30: at -04:00 and at -05:00.
    const twice = { place: 'NORTH' }
    expect(bounds([event('received', '2026-11-01T01:30:00', twice)], 'received')).toEqual([
      '2026-11-01T05:30:00.000Z',
      '2026-11-01T06:30:00.000Z',
    ])
  })

  test('of a local time that was skipped: by the offset after and by the one before', () => {
    // Lisbon, 29 March 2026, 01:30: at +01:00 and at +00:00.
    expect(bounds([event('collected', '2026-03-29T01:30:00', { place: 'CORK' })], 'collected')).toEqual([
      '2026-03-29T00:30:00.000Z',
      '2026-03-29T01:30:00.000Z',
    ])
  })

  test('of a local time is in its zone before its place’s', () => {
    expect(
      bounds(
        [event('collected', '2026-10-20T10:00:00', { place: 'CORK', zone: 'Asia/Kolkata' })],
        'collected',
      ),
    ).toEqual(['2026-10-20T04:30:00.000Z', '2026-10-20T04:30:00.000Z'])
  })
})

describe('an event in the future', () => {
  const cut = event('collected', '2026-11-10T12:00:00.001Z')

  test('is kept and flagged, and counts when its time comes', () => {
    const sample = deriveKit([cut])
    expect(getState(sample, 'cut to chamber')).toBe('not started')
    expect(listFlags(sample)).toContain('ahead of now')
    expect(sample.deriveAgainAt).toBe(NOW + 1)
    const then = deriveKit([cut], { now: NOW + 1 })
    expect(getState(then, 'cut to chamber', NOW + 1)).toBe('running')
    expect([listFlags(then), then.deriveAgainAt]).toEqual([[], null])
  })

  test('is one whose earliest reading is: a date that has begun counts, to its last millisecond', () => {
    const sample = deriveKit([
      event('collected', '2026-11-09T09:00:00Z'),
      event('dispatched', '2026-11-10', { place: 'CORK' }),
    ])
    expect(iso(findClock(sample, 'cut to carrier').stoppedAt)).toBe('2026-11-10T23:59:59.999Z')
    expect(getState(sample, 'cut to carrier')).toBe('lapsed')
  })

  test('does not end the sample before its time', () => {
    const lost = event('lost', '2026-11-11T12:00:00Z')
    expect(deriveKit([event('collected', '2026-11-09T09:00:00Z'), lost]).settled).toBeNull()
  })
})

describe('unusual events are kept, flagged and counted', () => {
  test('received before dispatched', () => {
    const sample = deriveKit([
      event('dispatched', '2026-10-21T10:00:00Z'),
      event('received', '2026-10-20T10:00:00Z'),
    ])
    expect(listFlags(sample)).toContain('out of order')
    expect(getState(sample, 'in transit')).toBe('unproven')
  })

  test('dispatched before collected, with nothing but a date in between', () => {
    const sample = deriveKit([
      event('collected', '2026-10-20T10:00:00Z'),
      event('sealed', '2026-10-20', { place: 'CORK' }),
      event('dispatched', '2026-10-20T09:00:00Z'),
    ])
    expect(
      sample.flags.filter(({ kind }) => kind === 'out of order').map(({ detail }) => english.message(detail)),
    ).toEqual(['“handed over” is dated before “cut”.'])
  })

  test('but not two at one time, nor a time within the other one’s day', () => {
    const sample = deriveKit([
      event('collected', '2026-10-20T10:00:00Z'),
      event('sealed', '2026-10-20T10:00:00Z'),
      event('dispatched', '2026-10-20', { place: 'CORK' }),
    ])
    expect(listFlags(sample)).not.toContain('out of order')
  })

  test('before the kit was issued', () => {
    const sample = deriveKit([event('collected', '2026-07-01T11:59:59.999Z')])
    expect(listFlags(sample)).toContain('before its kit')
    expect(iso(findClock(sample, 'cut to chamber').startedAt)).toBe('2026-07-01T11:59:59.999Z')
    expect(listFlags(deriveKit([event('collected', '2026-07-01T12:00:00Z')]))).not.toContain('before its kit')
  })

  test('another place than the kit’s plant or laboratory, whose zone and calendar stay those of counting', () => {
    const there = deriveKit([event('collected', '2026-10-20T10:00:00Z', { place: 'FELT' })])
    const here = deriveKit([event('collected', '2026-10-20T10:00:00Z', { place: 'CORK' })])
    expect([listFlags(there), listFlags(here)]).toEqual([['another place'], []])
    expect(findClock(there, 'cut to chamber').dueAt).toBe(findClock(here, 'cut to chamber').dueAt)
    expect(
      listFlags(deriveKit([event('received', '2026-10-20T10:00:00Z', { place: 'NORTH' })])),
    ).not.toContain('another place')
  })
})
