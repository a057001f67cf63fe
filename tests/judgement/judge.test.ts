import { describe, expect, test } from 'vitest'
import type { Kit } from '@/lib/custody/register'
import { judge } from '@/lib/judgement/judge'
import { ProgrammeIndex } from '@/lib/judgement/programmeIndex'
import type { Programme } from '@/lib/schedule/owedTests'
import { ms } from '../custody/desk'
import { type EventInput, kit, makeProgramme, makeRegister } from '../schedule/programme'
import { COPY, CUT, LEFT, registerWithLimit, SAFE } from './overdueCases'

// The rules of a judgement: what was found governs what happens next, and a sample asks for one thing at a time.

const ONE = kit('AAAA222')
const TWO = kit('BBBB333')
const LONG = registerWithLimit('cut to carrier', 168)
const found = (at: string): EventInput => ['deviation', at, { id: 'd', facts: { what: 'bag torn' } }]
const ruled = (at: string, ruling: string): EventInput => [
  'ruling',
  at,
  { facts: { on: 'desk/d', ruling, reason: 'looked at' } },
]

/** The judgement of the first of some kits, in a form that is easy to read. */
function judged(
  now: string,
  said: readonly (readonly [Kit, readonly EventInput[]])[],
  more: Partial<Pick<Programme, 'register' | 'pace'>> = {},
) {
  const programme = makeProgramme(now, said, more)
  const [sample] = programme.samples
  if (!sample) throw new Error('no sample')
  const { acts, ...rest } = judge(sample, new ProgrammeIndex(programme))
  return {
    ...rest,
    lead: acts[0]?.act ?? null,
    acts: acts.map(({ act, actor }) => `${actor.by}: ${act}`),
    whole: acts,
  }
}

describe('an unfit sample', () => {
  // Ten calendar days from 30 October are over in New York with 9 November; three working days from 3 November with 6.
  const LAPSED: EventInput[] = [...SAFE, ['received', '2026-11-03T15:00:00Z']]
  const NOW = '2026-11-08T12:00:00Z'

  test('asks for its replacement and for nothing else', () => {
    const { fitness, standing, restraint, acts } = judged(NOW, [[ONE, LAPSED]])
    expect({ fitness, standing, restraint }).toEqual({
      fitness: 'unfit',
      standing: 'lapsed',
      restraint: 'do not load',
    })
    expect(acts).toEqual(['programme: replace it', 'plant: cut its replacement'])
  })

  test('is not to be sent if it lapsed before its hand-over', () => {
    const { restraint, acts } = judged('2026-11-12T12:00:00Z', [[ONE, [CUT]]])
    expect(restraint).toBe('do not send')
    expect(acts).toEqual(['programme: replace it', 'plant: cut its replacement'])
  })

  test.each(['retained', 'duplicate'] as const)(
    'asks for nothing where its purpose is not owed: %s',
    (purpose) => {
      const { fitness, acts } = judged(NOW, [[kit('AAAA222', { purpose }), LAPSED]])
      expect(fitness).toBe('unfit')
      expect(acts).toEqual([])
    },
  )

  test('asks for nothing once a kit replaces it', () => {
    const again = kit('BBBB333', { purpose: 're-collection', replaces: ONE.code })
    expect(
      judged(NOW, [
        [ONE, LAPSED],
        [again, []],
      ]).acts,
    ).toEqual([])
  })

  test('names a spare kit at its plant, and none that is not posted or used', () => {
    const spare = kit('CCCC444', { product: null })
    const used = kit('DDDD555', { product: null })
    const unposted = kit('EEEE666', { product: null, posted: 'not yet' })
    const spareOf = (...others: (readonly [Kit, readonly EventInput[]])[]) =>
      judged(NOW, [[ONE, LAPSED], ...others]).whole[0]?.spare
    expect(spareOf([spare, []])).toBe(spare.code)
    expect(spareOf([used, [['collected', '2026-11-07T12:00:00Z', { product: 'TILE' }]]])).toBeNull()
    expect(spareOf([unposted, []])).toBeNull()
  })

  test('in the chamber also asks the laboratory to stop or go on', () => {
    const late: EventInput[] = [...LAPSED, ['loaded', '2026-11-12T15:00:00Z']]
    const { restraint, acts } = judged('2026-11-13T12:00:00Z', [[ONE, late]])
    expect(restraint).toBeNull()
    expect(acts).toEqual(['programme: replace it', 'laboratory: stop or go on', 'plant: cut its replacement'])
  })

  test('is one that was ruled out: nobody is asked to load it', () => {
    const { fitness, standing, acts } = judged('2026-11-03T16:00:00Z', [
      [
        ONE,
        [
          ...SAFE,
          ['received', '2026-11-02T15:00:00Z'],
          found('2026-11-02T16:00:00Z'),
          ruled('2026-11-03T15:00:00Z', 'cut again'),
        ],
      ],
    ])
    expect({ fitness, standing }).toEqual({ fitness: 'unfit', standing: 'ended' })
    expect(acts).toEqual(['programme: replace it', 'plant: cut its replacement'])
  })
})

describe('a replacement that an event names', () => {
  const LAPSED: EventInput[] = [CUT, ['replaced by', '2026-11-12T13:00:00Z', { facts: { kit: TWO.code } }]]

  test('is owed on its own clocks even if it is a retained sample', () => {
    const retained = kit('BBBB333', { purpose: 'retained' })
    const cut: EventInput = ['collected', '2026-11-12T10:00:00Z']
    expect(
      judged(
        '2026-11-16T23:59:00Z',
        [
          [retained, [cut]],
          [ONE, LAPSED],
        ],
        { register: LONG },
      ).acts,
    ).toEqual(['plant: hand it over'])
    expect(judged('2026-11-16T23:59:00Z', [[retained, [cut]]], { register: LONG }).acts).toEqual([])
  })

  test('does not stand for a sample of another plant', () => {
    const other = kit('BBBB333', { purpose: 'retained', plant: 'FELT', product: null })
    expect(
      judged('2026-11-13T12:00:00Z', [
        [other, []],
        [ONE, LAPSED],
      ]).acts,
    ).toEqual([])
  })
})

describe('a sample in question', () => {
  test('before its hand-over is not sent, and on the day of its cut rather cut again', () => {
    const today = judged('2026-10-30T12:00:00Z', [[ONE, [CUT, found('2026-10-30T11:00:00Z')]]], {
      register: LONG,
    })
    expect(today.restraint).toBe('do not send')
    expect(today.acts).toEqual(['programme: rule on it', 'plant: cut it again'])
    const later = judged('2026-10-31T12:00:00Z', [[ONE, [CUT, found('2026-10-30T11:00:00Z')]]], {
      register: LONG,
    })
    expect(later.acts).toEqual(['programme: rule on it', 'plant: wait for the ruling'])
  })

  const HERE: EventInput[] = [...SAFE, ['received', '2026-11-02T15:00:00Z'], found('2026-11-02T16:00:00Z')]

  test('at the laboratory waits for the ruling, due by the last useful loading', () => {
    const { restraint, fitness, acts, whole } = judged('2026-11-03T15:00:00Z', [[ONE, HERE]])
    expect({ restraint, fitness }).toEqual({ restraint: 'do not load', fitness: 'in question' })
    expect(acts).toEqual([
      'programme: rule on it',
      'laboratory: wait for the ruling',
      'plant: wait for the ruling',
    ])
    // Three working days from Monday 2 November are over in New York with Thursday 5.
    expect(whole[0]).toMatchObject({ byAt: ms('2026-11-06T04:59:59.999Z'), findings: ['desk/d'] })
  })

  test('is loaded and its report held where no ruling can come in time', () => {
    // Ten days from Thursday 29 October are over on Sunday 8 November in New York, where Friday 6 is the last open day. In Paris
    // it is Saturday by then, and the office is closed.
    const said: EventInput[] = [
      ['collected', '2026-10-29T10:00:00Z'],
      ['dispatched', '2026-10-30T09:00:00Z', { service: 'air' }],
      COPY,
      ['received', '2026-11-02T15:00:00Z'],
      found('2026-11-06T22:30:00Z'),
    ]
    const friday = registerWithLimit('dock to chamber', 4)
    const { restraint, lead, acts } = judged('2026-11-06T23:30:00Z', [[ONE, said]], { register: friday })
    expect(restraint).toBeNull()
    expect(lead).toBe('load it, hold the report')
    expect(acts).toContain('programme: rule on it')
  })

  test('in the chamber goes on, and its report is held', () => {
    const said: EventInput[] = [...HERE, ['loaded', '2026-11-03T15:00:00Z']]
    const { restraint, acts } = judged('2026-11-04T12:00:00Z', [[ONE, said]])
    expect(restraint).toBeNull()
    expect(acts).toEqual(['programme: rule on it', 'laboratory: go on, hold the report'])
  })

  test('that is reported has its certificate reviewed, and its test stays owed', () => {
    const said: EventInput[] = [
      ...HERE,
      ['loaded', '2026-11-03T15:00:00Z'],
      ['reported', '2026-11-20T15:00:00Z'],
    ]
    const at = (more: EventInput[]) => makeProgramme('2026-11-21T12:00:00Z', [[ONE, [...said, ...more]]])
    const { acts } = judged('2026-11-21T12:00:00Z', [[ONE, said]])
    expect(acts).toEqual(['programme: review the certificate'])
    expect(new ProgrammeIndex(at([])).owed).toHaveLength(1)
    expect(new ProgrammeIndex(at([ruled('2026-11-21T11:00:00Z', 'use')])).owed).toEqual([])
  })

  test('is fit again once it is ruled on, and says what is next', () => {
    const said: EventInput[] = [...HERE, ruled('2026-11-03T14:00:00Z', 'use with a note')]
    expect(judged('2026-11-03T15:00:00Z', [[ONE, said]])).toMatchObject({
      fitness: 'fit',
      restraint: null,
      lead: 'load it',
    })
  })
})

test('a spare kit asks for nothing before its product is known or it replaces another', () => {
  expect(judged('2026-10-30T12:00:00Z', [[kit('CCCC444', { product: null }), []]]).acts).toEqual([])
})

describe('a fit sample', () => {
  test('is asked for what its last milestone leaves to do, by its deadline', () => {
    expect(judged('2026-10-30T12:00:00Z', [[ONE, [CUT]]]).whole[0]).toMatchObject({
      act: 'hand it over',
      // 24 hours from the cut.
      byAt: ms('2026-10-31T10:00:00Z'),
    })
    const there: EventInput[] = [CUT, LEFT, COPY, ['delivered', '2026-11-02T14:00:00Z']]
    expect(judged('2026-11-02T15:00:00Z', [[ONE, there]]).acts).toEqual(['laboratory: receive it'])
  })

  test('whose time is missing is asked for the time, of whoever reports it', () => {
    const said: EventInput[] = [LEFT, COPY, ['received', '2026-11-02T15:00:00Z']]
    expect(judged('2026-11-02T16:00:00Z', [[ONE, said]]).whole).toMatchObject([
      { act: 'give the time', actor: { by: 'plant', code: 'CORK' }, milestone: 'collected' },
      { act: 'load it' },
    ])
  })

  test('that was reported before it was loaded is asked for the time, and then to hold the report', () => {
    const said: EventInput[] = [
      ...SAFE,
      ['received', '2026-11-02T15:00:00Z'],
      ['reported', '2026-11-03T15:00:00Z'],
    ]
    const asked = judged('2026-11-05T12:00:00Z', [[ONE, said]])
    expect(asked.acts).toContain('laboratory: give the time')
    const given = judged('2026-11-05T12:00:00Z', [[ONE, [...said, ['loaded', '2026-11-04T15:00:00Z']]]])
    expect(given.acts).toEqual(['laboratory: hold the report'])
  })

  test('whose report is late is late, and neither unfit nor replaced', () => {
    const { protocols } = makeRegister()
    const limit = {
      name: 'cut to report',
      from: 'collected',
      to: 'reported',
      amount: 10,
      unit: 'working days',
    }
    const register = makeRegister({
      protocols: [...protocols.values()].map((one) => (one.code === 'P' ? { ...one, limits: [limit] } : one)),
    })
    const said: EventInput[] = [
      ...SAFE,
      ['received', '2026-11-02T15:00:00Z'],
      ['loaded', '2026-11-03T15:00:00Z'],
    ]
    const { fitness, standing, acts } = judged('2026-12-02T12:00:00Z', [[ONE, said]], { register })
    expect({ fitness, standing }).toEqual({ fitness: 'fit', standing: 'lapsed' })
    expect(acts).toEqual(['laboratory: report it'])
  })
})

describe('a clock that proves nothing', () => {
  test('leaves the test owed after a report of a kit that was never cut', () => {
    const said: readonly (readonly [Kit, readonly EventInput[]])[] = [
      [ONE, [['reported', '2026-11-03T15:00:00Z']]],
    ]
    const { fitness, standing, acts } = judged('2026-11-04T12:00:00Z', said)
    expect({ fitness, standing }).toEqual({ fitness: 'in question', standing: 'unproven' })
    expect(new Set(acts)).toEqual(new Set(['plant: give the time', 'laboratory: give the time']))
    expect(new ProgrammeIndex(makeProgramme('2026-11-04T12:00:00Z', said)).owed).toHaveLength(1)
  })

  test('asks for a ruling if its stop lies before its start', () => {
    const said: EventInput[] = [
      ['collected', '2026-10-30T13:00:00Z'],
      ['dispatched', '2026-10-30T12:00:00Z', { service: 'air' }],
      COPY,
      ['received', '2026-11-02T15:00:00Z'],
    ]
    expect(judged('2026-11-02T16:00:00Z', [[ONE, said]]).whole[0]).toMatchObject({
      act: 'rule on it',
      findings: ['cut to carrier#unproven'],
    })
  })
})

test('nobody is asked to load early, and what was loaded early waits for a ruling', () => {
  const { protocols } = makeRegister()
  const register = makeRegister({
    protocols: [...protocols.values()].map((one) => ({
      ...one,
      limits: one.limits.map((limit) =>
        limit.name === 'dock to chamber' ? { ...limit, atLeast: 2 } : limit,
      ),
    })),
  })
  const here: EventInput[] = [...SAFE, ['received', '2026-11-02T15:00:00Z']]
  // Two working days from Monday 2 November: not before Wednesday 4 begins in New York, though the duty gives one.
  const earliest = ms('2026-11-04T05:00:00Z')
  const waiting = judged('2026-11-04T04:59:59.999Z', [[ONE, here]], { register })
  expect(waiting.whole[0]).toMatchObject({
    act: 'load it',
    notBeforeAt: earliest,
    isUrgent: false,
    overdue: null,
  })
  const open = judged('2026-11-04T05:00:00Z', [[ONE, here]], { register })
  expect(open.whole[0]).toMatchObject({ act: 'load it', notBeforeAt: null })
  const early = judged('2026-11-03T20:00:00Z', [[ONE, [...here, ['loaded', '2026-11-03T15:00:00Z']]]], {
    register,
  })
  expect(early).toMatchObject({ fitness: 'in question', standing: 'unproven' })
  expect(early.whole[0]).toMatchObject({ act: 'rule on it', findings: ['dock to chamber#early'] })
})

test('a cancelled kit asks for nothing', () => {
  expect(judged('2026-11-12T12:00:00Z', [[ONE, [CUT, ['cancelled', '2026-10-30T12:00:00Z']]]]).acts).toEqual(
    [],
  )
})
