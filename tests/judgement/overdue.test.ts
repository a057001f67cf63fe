import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import type { Failure } from '@/lib/custody/fitness'
import type { Kit } from '@/lib/custody/register'
import { SAMPLE_ACTS } from '@/lib/judgement/acts'
import { OVERDUE_KINDS } from '@/lib/judgement/overdueKinds'
import { FAILURE_REASONS } from '@/lib/schedule/progress'
import { findProgrammeOverdue } from '@/tests/judgement/programmeOverdue'
import { chooseUsualOrLong } from '@/tests/setup/usualOrLong'
import { iso, ms } from '../custody/desk'
import { type EventInput, kit, makeProgramme, makeRegister, PACE } from '../schedule/programme'
import {
  COPY,
  CUT,
  findOverdueAt,
  justAfter,
  makeOverdue,
  ONE,
  OVERDUE_CASES,
  POST_BY,
  registerWithLimit,
  SAFE,
} from './overdueCases'

const TWO = kit('BBBB333')

/** The kinds that are overdue at `now`, and since when. */
const overdue = (now: string, of: Kit = ONE, ...said: EventInput[]) =>
  findProgrammeOverdue(makeProgramme(now, [[of, said]])).map(({ kind, sinceAt }) => [kind, iso(sinceAt)])

describe.each(OVERDUE_KINDS)('%s', (kind) => {
  const { by, kit: of, lastInTime, since = lastInTime } = OVERDUE_CASES[kind]

  test('is overdue with its actor and its time, and not a millisecond sooner', () => {
    expect(findOverdueAt(kind, lastInTime).map((one) => one.kind)).not.toContain(kind)
    const found = findOverdueAt(kind, justAfter(lastInTime))
    const code = { programme: undefined, plant: 'CORK', laboratory: 'NORTH' }[by]
    const zone = { programme: 'Europe/Paris', plant: 'Europe/Lisbon', laboratory: 'America/New_York' }[by]
    expect(found).toMatchObject([
      {
        kind,
        actor: code === undefined ? { by } : { by, code },
        sinceAt: ms(since),
        zone,
        product: 'TILE',
        sample: of?.code ?? null,
      },
    ])
    expect(found[0]?.subject).toMatch(new RegExp(`^${kind}/`))
  })
})

const RECORDED = OVERDUE_KINDS.flatMap((kind) => {
  const { act } = makeOverdue(kind)
  const record = act && SAMPLE_ACTS[act].record
  return record ? [[kind, record] as const] : []
})

test.each(RECORDED)('“%s” is resolved by the event that its act records: %s', (kind, record) => {
  const at = justAfter(OVERDUE_CASES[kind].lastInTime)
  const { findings } = makeOverdue(kind)
  const facts = findings.length === 0 ? {} : { on: findings, ruling: 'use' }
  const kinds = (...said: EventInput[]) => findOverdueAt(kind, justAfter(at), ...said).map((one) => one.kind)
  expect(kinds()).toEqual([kind])
  expect(kinds([record, at, { service: 'air', facts }])).toEqual([])
})

describe('something overdue:', () => {
  test('a duty with no kit holds up its test', () => {
    expect(makeOverdue('duty with no kit')).toMatchObject({ duty: 'YEARLY', number: 1 })
  })

  test('a kit that was posted in time is not overdue', () => {
    expect(overdue(justAfter(POST_BY), kit('AAAA222', { posted: '2026-10-28' }))).toEqual([])
  })

  test('a kit issued late is cut when it can be at the plant', () => {
    // Issued on Thursday 5 November: four days on its way, there on Monday 9.
    const late = kit('AAAA222', { issuedAt: ms('2026-11-05T09:00:00Z') })
    expect(overdue('2026-11-09T23:59:59.999Z', late)).toEqual([])
    expect(overdue('2026-11-10T00:00:00Z', late)).toEqual([['not cut', '2026-11-09T23:59:59.999Z']])
  })

  test('a kit posted late is cut when it can be at the plant', () => {
    // Posted on Friday 6 November: there on Tuesday 10, however long before it was issued.
    const late = kit('AAAA222', { posted: '2026-11-06' })
    expect(overdue('2026-11-10T23:59:59.999Z', late)).toEqual([])
    expect(overdue('2026-11-11T00:00:00Z', late)).toEqual([['not cut', '2026-11-10T23:59:59.999Z']])
  })

  test('nothing is under way too long while the pace of its lane is unknown', () => {
    const { events: said, register = makeRegister(), lastInTime } = OVERDUE_CASES['under way too long']
    const pace = { ...PACE, p95TransitDays: () => null }
    expect(
      findProgrammeOverdue(makeProgramme(justAfter(lastInTime), [[ONE, said]], { register, pace })),
    ).toEqual([])
  })

  test('a sample that left after the pickup is under way from the next one on', () => {
    const register = registerWithLimit('in transit', 30)
    const evening: EventInput[] = [CUT, ['dispatched', '2026-10-30T14:01:00Z', { service: 'air' }], COPY]
    const at = (now: string) =>
      findProgrammeOverdue(makeProgramme(now, [[ONE, evening]], { register })).length
    // The service calls next on Monday 2 November: four open days are over with Friday 6.
    expect([at('2026-11-07T04:59:59.999Z'), at('2026-11-07T05:00:00Z')]).toEqual([0, 1])
  })

  test('a lapsed sample has to be replaced until a kit that is not cancelled, or an event, replaces it', () => {
    const { events: received } = OVERDUE_CASES['lapsed with no re-collection']
    const again = kit('BBBB333', {
      purpose: 're-collection',
      replaces: ONE.code,
      issuedAt: ms('2026-11-07T01:00:00Z'),
    })
    const both = (said: EventInput[]) =>
      findProgrammeOverdue(
        makeProgramme('2026-11-07T05:00:00Z', [
          [ONE, received],
          [again, said],
        ]),
      ).map(({ kind }) => kind)
    expect(both([])).toEqual([])
    expect(both([['cancelled', '2026-11-07T02:00:00Z']])).toEqual(['lapsed with no re-collection'])
    const event: EventInput = ['replaced by', '2026-11-07T04:00:00Z', { facts: { kit: TWO.code } }]
    expect(overdue('2026-11-07T05:00:00Z', ONE, ...received, event)).toEqual([])
  })
})

/** Events after which a sample has to be cut again, and their time. */
const FAILED: Record<Failure, { said: readonly EventInput[]; at: string }> = {
  lapsed: { said: OVERDUE_CASES['lapsed with no re-collection'].events, at: '2026-11-07T04:59:59.999Z' },
  lost: { said: [...SAFE, ['lost', '2026-11-02T15:00:00Z']], at: '2026-11-02T15:00:00Z' },
  returned: { said: [...SAFE, ['returned', '2026-11-02T15:00:00Z']], at: '2026-11-02T15:00:00Z' },
  rejected: { said: [...SAFE, ['rejected', '2026-11-02T15:00:00Z']], at: '2026-11-02T15:00:00Z' },
  'cut again': {
    said: [
      ...SAFE,
      ['deviation', '2026-11-02T14:00:00Z', { id: 'd', facts: { what: 'bag leaking' } }],
      ['ruling', '2026-11-02T15:00:00Z', { facts: { on: 'desk/d', ruling: 'cut again' } }],
    ],
    at: '2026-11-02T15:00:00Z',
  },
}

test.each(Object.keys(FAILURE_REASONS) as Failure[])(
  'what has to be cut again says that it is: %s',
  (reason) => {
    const { said, at } = FAILED[reason]
    expect(findProgrammeOverdue(makeProgramme(justAfter(at), [[ONE, said]]))[0]).toMatchObject({
      kind: 'lapsed with no re-collection',
      reason,
      sinceAt: ms(at),
      actor: { by: 'programme' },
    })
  },
)

test('an issued report is no longer late', () => {
  const { events: said } = OVERDUE_CASES['report late']
  const reported: EventInput = ['reported', '2026-12-02T15:00:00Z']
  expect(overdue('2026-12-03T00:00:00Z', ONE, ...said, reported)).toEqual([])
})

test('a ruling resolves a deviation', () => {
  const { events: said } = OVERDUE_CASES['deviation with no ruling']
  const ruling: EventInput = ['ruling', '2026-11-02T15:30:00Z', { facts: { on: 'desk/d', ruling: 'use' } }]
  expect(overdue('2026-11-04T16:00:00Z', ONE, ...said, ruling)).toEqual([])
})

test('a retained sample is never owed', () => {
  const retained = kit('AAAA222', { purpose: 'retained', posted: 'not yet' })
  const kinds = findProgrammeOverdue(makeProgramme('2026-11-20T12:00:00Z', [[retained, [CUT]]])).map(
    ({ kind }) => kind,
  )
  expect(kinds).toEqual(['duty with no kit'])
})

test('a report on a valid sample fulfils a duty until the next window opens', () => {
  const loaded: EventInput[] = [
    ...SAFE,
    ['received', '2026-11-02T15:00:00Z'],
    ['loaded', '2026-11-03T15:00:00Z'],
    ['reported', '2026-11-25T15:00:00Z'],
  ]
  expect(overdue('2027-08-01T12:00:00Z', ONE, ...loaded)).toEqual([])
  expect(overdue('2027-11-20T12:00:00Z', ONE, ...loaded).map(([kind]) => kind)).toEqual(['duty with no kit'])
})

const anything: fc.Arbitrary<EventInput[]> = fc.uniqueArray(
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
  ) as fc.Arbitrary<EventInput>,
  { maxLength: 8, selector: ([kind, at]) => `${kind} ${at}` },
)

test('any order of events and samples gives the same, with one subject each', () => {
  fc.assert(
    fc.property(anything, anything, fc.integer({ min: 0, max: 90 }), (one, two, days) => {
      const now = new Date(ms('2026-10-05T12:00:00Z') + days * 86_400_000).toISOString()
      const found = findProgrammeOverdue(
        makeProgramme(now, [
          [ONE, one],
          [TWO, two],
        ]),
      )
      const turned = makeProgramme(now, [
        [TWO, [...two].reverse()],
        [ONE, [...one].reverse()],
      ])
      expect(findProgrammeOverdue(turned)).toEqual(found)
      expect(new Set(found.map(({ subject }) => subject)).size).toBe(found.length)
      for (const { sinceAt, kind } of found) {
        expect(sinceAt).toBeLessThanOrEqual(ms(now))
        expect(OVERDUE_KINDS).toContain(kind)
      }
    }),
    { numRuns: chooseUsualOrLong({ usual: 100, long: 300 }) },
  )
})
