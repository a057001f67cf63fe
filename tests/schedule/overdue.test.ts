import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import type { Kit } from '@/lib/custody/register'
import { OVERDUE_KINDS, overdueOf } from '@/lib/schedule/overdue'
import { readSnooze, snoozeOf, withSnoozes } from '@/lib/schedule/snooze'
import { usualOrLong } from '@/tests/setup/usualOrLong'
import { iso, ms } from '../custody/desk'
import { kit, PACE, programmeAt, registerWith, type Said } from './programme'

const ONE = kit('AAAA222')
const TWO = kit('BBBB333')

/** Kinds of what is overdue at `now`, with since when. */
const overdue = (now: string, of: Kit = ONE, ...said: Said[]) =>
  overdueOf(programmeAt(now, [[of, said]])).map(({ kind, sinceAt }) => [kind, iso(sinceAt)])

/** The instant of a text, and the millisecond after it. */
const justAfter = (text: string) => new Date(ms(text) + 1).toISOString()

/**
 * The test due by 2026-11-30, a Monday: report Mon 30 Nov, end of test five open days before (Thu 26 is closed):
 * Fri 20, in the chamber by Fri 6, received by Thu 5, three open days before: handed over by Mon 2 Nov, when the
 * service calls; the kit is posted four days before: Thu 29 Oct.
 */
const CUT_BY = '2026-11-02T23:59:59.999Z'
const POST_BY = '2026-10-29T22:59:59.999Z'
const REPORT_BY = '2026-12-01T04:59:59.999Z'
const CUT: Said = ['collected', '2026-10-30T10:00:00Z']
const LEFT: Said = ['dispatched', '2026-10-30T13:00:00Z', { service: 'air' }]
const COPY: Said = ['form copy', '2026-10-30T13:30:00Z']
const SAFE: Said[] = [CUT, LEFT, COPY]

describe('what is overdue, since when, and not a millisecond sooner:', () => {
  test('a duty with no kit', () => {
    const at = (now: string) => overdueOf(programmeAt(now, []))
    expect(at(POST_BY)).toEqual([])
    expect(at(justAfter(POST_BY))).toMatchObject([
      {
        kind: 'duty with no kit',
        actor: { by: 'programme' },
        remedy: 'issue a kit',
        sinceAt: ms(POST_BY),
        zone: 'Europe/Paris',
        duty: 'YEARLY',
        number: 1,
        product: 'TILE',
        sample: null,
      },
    ])
  })

  test('a kit that is not posted', () => {
    const waiting = kit('AAAA222', { posted: 'not yet' })
    expect(overdue(POST_BY, waiting)).toEqual([])
    expect(overdue(justAfter(POST_BY), waiting)).toEqual([['kit not posted', POST_BY]])
    expect(overdue(justAfter(POST_BY), kit('AAAA222', { posted: '2026-10-28' }))).toEqual([])
  })

  test('what is not cut by its date', () => {
    expect(overdue(CUT_BY)).toEqual([])
    expect(overdue(justAfter(CUT_BY))).toEqual([['not cut', CUT_BY]])
  })

  test('what was issued late is cut when the kit can be there', () => {
    // Issued on Thursday 5 November: four days on its way, there on Monday 9.
    const late = kit('AAAA222', { issuedAt: ms('2026-11-05T09:00:00Z') })
    expect(overdue('2026-11-09T23:59:59.999Z', late)).toEqual([])
    expect(overdue('2026-11-10T00:00:00Z', late)).toEqual([['not cut', '2026-11-09T23:59:59.999Z']])
  })

  test('what was posted late is cut when the kit can be there', () => {
    // Posted on Friday 6 November: there on Tuesday 10, however long before it was issued.
    const late = kit('AAAA222', { posted: '2026-11-06' })
    expect(overdue('2026-11-10T23:59:59.999Z', late)).toEqual([])
    expect(overdue('2026-11-11T00:00:00Z', late)).toEqual([['not cut', '2026-11-10T23:59:59.999Z']])
  })

  test('what is cut and not handed over with the next pickup', () => {
    // The clock from cut to carrier has 24 hours: with a week, the next pickup is what is missed.
    const register = registerWith({ protocols: registerInputWith('cut to carrier', 168) })
    const at = (now: string) =>
      overdueOf(programmeAt(now, [[ONE, [CUT]]], { register })).map(({ kind, actor }) => [kind, actor])
    expect(at('2026-11-02T23:59:59.999Z')).toEqual([])
    expect(at('2026-11-03T00:00:00Z')).toEqual([['not handed over', { by: 'plant', code: 'CORK' }]])
  })

  test('what is under way longer than 95 of a hundred', () => {
    // Left on Friday 30 October with the pickup: four open days in New York are over with Thursday 5 November.
    const register = registerWith({ protocols: registerInputWith('in transit', 30) })
    const at = (now: string, pace = PACE) =>
      overdueOf(programmeAt(now, [[ONE, SAFE]], { register, pace })).map(({ kind, actor }) => [
        kind,
        actor.by,
      ])
    expect(at('2026-11-06T04:59:59.999Z')).toEqual([])
    expect(at('2026-11-06T05:00:00Z')).toEqual([['under way too long', 'programme']])
    expect(at('2026-11-06T05:00:00Z', { ...PACE, transitNinetyFive: () => null })).toEqual([])
  })

  test('what left after the pickup is under way from the next one on', () => {
    const register = registerWith({ protocols: registerInputWith('in transit', 30) })
    const evening: Said[] = [CUT, ['dispatched', '2026-10-30T14:01:00Z', { service: 'air' }], COPY]
    const at = (now: string) => overdueOf(programmeAt(now, [[ONE, evening]], { register })).length
    // The service calls next on Monday 2 November: four open days are over with Friday 6.
    expect([at('2026-11-07T04:59:59.999Z'), at('2026-11-07T05:00:00Z')]).toEqual([0, 1])
  })

  test('what the carrier delivered and the laboratory did not log', () => {
    const delivered: Said[] = [...SAFE, ['delivered', '2026-11-02T15:00:00Z']]
    expect(overdue('2026-11-04T04:59:59.999Z', ONE, ...delivered)).toEqual([])
    expect(overdue('2026-11-04T05:00:00Z', ONE, ...delivered)).toEqual([
      ['delivered but not received', '2026-11-04T04:59:59.999Z'],
    ])
  })

  test('what was received and not loaded in time', () => {
    const received: Said[] = [...SAFE, ['received', '2026-11-02T15:00:00Z']]
    // The duty gives one working day.
    expect(overdue('2026-11-04T04:59:59.999Z', ONE, ...received)).toEqual([])
    expect(overdue('2026-11-04T05:00:00Z', ONE, ...received)).toEqual([
      ['not loaded in time', '2026-11-04T04:59:59.999Z'],
    ])
  })

  test('what has lapsed with no re-collection', () => {
    // Ten calendar days from 30 October are over with 9 November in New York; three working days from 3 November with 6.
    const received: Said[] = [...SAFE, ['received', '2026-11-03T15:00:00Z']]
    expect(overdue('2026-11-07T05:00:00Z', ONE, ...received)).toEqual([
      ['lapsed with no re-collection', '2026-11-07T04:59:59.999Z'],
    ])
    const again = kit('BBBB333', {
      purpose: 're-collection',
      replaces: ONE.code,
      issuedAt: ms('2026-11-07T01:00:00Z'),
    })
    const both = (said: Said[]) =>
      overdueOf(
        programmeAt('2026-11-07T05:00:00Z', [
          [ONE, received],
          [again, said],
        ]),
      ).map(({ kind }) => kind)
    expect(both([])).toEqual([])
    expect(both([['cancelled', '2026-11-07T02:00:00Z']])).toEqual(['lapsed with no re-collection'])
    const event: Said = ['replaced by', '2026-11-07T04:00:00Z', { facts: { kit: TWO.code } }]
    expect(overdue('2026-11-07T05:00:00Z', ONE, ...received, event)).toEqual([])
  })

  test.each([
    ['lost', [['lost', '2026-11-02T15:00:00Z']]],
    ['rejected', [['rejected', '2026-11-02T15:00:00Z']]],
    [
      'cut again',
      [
        ['deviation', '2026-11-02T14:00:00Z', { id: 'd', facts: { what: 'bag leaking' } }],
        ['ruling', '2026-11-02T15:00:00Z', { facts: { on: 'desk/d', ruling: 'cut again' } }],
      ],
    ],
  ] as [string, Said[]][])('what has to be cut again because it is %s', (reason, said) => {
    const [first] = overdueOf(programmeAt('2026-11-03T12:00:00Z', [[ONE, [...SAFE, ...said]]]))
    expect(first).toMatchObject({
      kind: 'lapsed with no re-collection',
      reason,
      sinceAt: ms('2026-11-02T15:00:00Z'),
      actor: { by: 'programme' },
    })
  })

  test('a deviation with no ruling', () => {
    const found: Said = ['deviation', '2026-11-02T15:00:00Z', { id: 'd', facts: { what: 'bag leaking' } }]
    expect(overdue('2026-11-02T16:00:00Z', ONE, ...SAFE, found)).toEqual([
      ['deviation with no ruling', '2026-11-02T15:00:00.000Z'],
    ])
    const ruling: Said = ['ruling', '2026-11-02T15:30:00Z', { facts: { on: 'desk/d', ruling: 'use' } }]
    expect(overdue('2026-11-02T16:00:00Z', ONE, ...SAFE, found, ruling)).toEqual([])
  })

  test('a form of which no copy was sent', () => {
    expect(overdue('2026-11-02T23:59:59.999Z', ONE, CUT, LEFT)).toEqual([])
    expect(overdue('2026-11-03T00:00:00Z', ONE, CUT, LEFT)).toEqual([
      ['form copy missing', '2026-11-02T23:59:59.999Z'],
    ])
  })

  test('a report that is late', () => {
    const loaded: Said[] = [...SAFE, ['received', '2026-11-02T15:00:00Z'], ['loaded', '2026-11-03T15:00:00Z']]
    expect(overdue(REPORT_BY, ONE, ...loaded)).toEqual([])
    expect(overdue(justAfter(REPORT_BY), ONE, ...loaded)).toEqual([['report late', REPORT_BY]])
    const reported: Said = ['reported', '2026-12-02T15:00:00Z']
    expect(overdue('2026-12-03T00:00:00Z', ONE, ...loaded, reported)).toEqual([])
  })
})

/** The desk's protocols with one limit of another amount. */
function registerInputWith(name: string, amount: number) {
  const { protocols } = registerWith()
  return [...protocols.values()].map((protocol) => ({
    ...protocol,
    limits: protocol.limits.map((limit) => (limit.name === name ? { ...limit, amount } : limit)),
  }))
}

test('a retained sample is never owed', () => {
  const retained = kit('AAAA222', { purpose: 'retained', posted: 'not yet' })
  const kinds = overdueOf(programmeAt('2026-11-20T12:00:00Z', [[retained, [CUT]]])).map(({ kind }) => kind)
  expect(kinds).toEqual(['duty with no kit'])
})

test('a duty is met by a report on a sample that holds, until the next window opens', () => {
  const loaded: Said[] = [
    ...SAFE,
    ['received', '2026-11-02T15:00:00Z'],
    ['loaded', '2026-11-03T15:00:00Z'],
    ['reported', '2026-11-25T15:00:00Z'],
  ]
  expect(overdue('2027-08-01T12:00:00Z', ONE, ...loaded)).toEqual([])
  expect(overdue('2027-11-20T12:00:00Z', ONE, ...loaded).map(([kind]) => kind)).toEqual(['duty with no kit'])
})

const anything: fc.Arbitrary<Said[]> = fc.uniqueArray(
  fc.tuple(
    fc.constantFrom(
      ...([
        'collected',
        'dispatched',
        'delivered',
        'received',
        'loaded',
        'reported',
        'lost',
        'cancelled',
        'deviation',
        'form copy',
        'replaced by',
      ] as const),
    ),
    fc
      .integer({ min: 0, max: 60 })
      .map((days) => new Date(ms('2026-10-05T10:00:00Z') + days * 86_400_000).toISOString()),
  ) as fc.Arbitrary<Said>,
  { maxLength: 8, selector: ([kind, at]) => `${kind} ${at}` },
)

test('any order of events and samples gives the same, and each is overdue of its own subject, after its time', () => {
  fc.assert(
    fc.property(anything, anything, fc.integer({ min: 0, max: 90 }), (one, two, days) => {
      const now = new Date(ms('2026-10-05T12:00:00Z') + days * 86_400_000).toISOString()
      const found = overdueOf(
        programmeAt(now, [
          [ONE, one],
          [TWO, two],
        ]),
      )
      const turned = programmeAt(now, [
        [TWO, [...two].reverse()],
        [ONE, [...one].reverse()],
      ])
      expect(overdueOf(turned)).toEqual(found)
      expect(new Set(found.map(({ subject }) => subject)).size).toBe(found.length)
      for (const { sinceAt, kind } of found) {
        expect(sinceAt).toBeLessThanOrEqual(ms(now))
        expect(OVERDUE_KINDS).toContain(kind)
      }
    }),
    { numRuns: usualOrLong({ usual: 100, long: 300 }) },
  )
})

describe('a snooze', () => {
  const NOW = ms('2026-11-25T12:00:00Z')
  test('needs a reason and an end, and holds through the day that it names', () => {
    expect(readSnooze({ until: '', reason: ' ' }, 'Europe/Paris', NOW)).toMatchObject({
      faults: [{ field: 'until' }, { field: 'reason' }],
    })
    for (const until of ['2026-11-24', '2027-03-01', '2026-02-30'])
      expect(readSnooze({ until, reason: 'line is down' }, 'Europe/Paris', NOW)).toMatchObject({
        faults: [{ field: 'until' }],
      })
    expect(readSnooze({ until: '2026-12-04', reason: ' line is down ' }, 'Europe/Paris', NOW)).toEqual({
      untilAt: ms('2026-12-04T22:59:59.999Z'),
      reason: 'line is down',
    })
  })

  test('leaves one thing aside until it runs out, and the last that was made stands', () => {
    const one = { subject: 'not cut/A', untilAt: NOW + 1000, reason: 'r', by: 'a', madeAt: NOW - 10 }
    const shorter = { ...one, untilAt: NOW + 10, madeAt: NOW - 5 }
    expect(snoozeOf([shorter, one], 'not cut/A', NOW + 10)).toBe(shorter)
    expect(snoozeOf([shorter, one], 'not cut/A', NOW + 11)).toBeNull()
    expect(snoozeOf([one], 'not cut/B', NOW)).toBeNull()
    const found = overdueOf(programmeAt(justAfter(CUT_BY), [[ONE, []]]))
    const untilAt = ms('2026-11-09T00:00:00Z')
    const aside = { ...one, subject: found[0]?.subject as string, untilAt, madeAt: 0 }
    expect(withSnoozes(found, [aside], ms(justAfter(CUT_BY)))).toMatchObject({
      pressing: [],
      aside: [{ overdue: { kind: 'not cut' }, snooze: aside }],
    })
  })
})
