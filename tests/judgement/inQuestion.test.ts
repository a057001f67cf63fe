import { describe, expect, test } from 'vitest'
import { FAULTS } from '@/lib/custody/condition'
import type { NextAct } from '@/lib/judgement/nextAct'
import { ProgrammeIndex } from '@/lib/judgement/programmeIndex'
import { actPath } from '@/lib/judgement/resolutionPath'
import { english } from '@/lib/messages/english'
import { ms } from '../custody/desk'
import { type EventInput, makeProgramme, makeRegister } from '../schedule/programme'
import { found, judged, LONG, ONE, ruled } from './judged'
import { COPY, CUT, registerWithLimit, SAFE } from './overdueCases'
import { ADMINISTRATOR } from './responsibleViewer'

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
    // Three working days from Monday 2 November are over in New York with Thursday 5, when it closes at 16:30.
    expect(whole[0]).toMatchObject({ byAt: ms('2026-11-05T21:30:00Z'), findings: ['desk/d'] })
  })

  test('waits for a ruling in the laboratory’s hours: a limit that ends at night ends with the day before', () => {
    // Ten hours from Monday 15:00 in New York are over on Tuesday at 01:00, when nobody loads; the laboratory closes at 16:30.
    const limit = { name: 'dock to chamber', from: 'received', to: 'loaded', amount: 10, unit: 'hours' }
    const night = makeRegister({
      protocols: [...makeRegister().protocols.values()].map((one) => ({ ...one, limits: [limit] })),
    })
    const at = (now: string) =>
      judged(now, [[ONE, [...SAFE, ['received', '2026-11-02T20:00:00Z'], found('2026-11-02T20:30:00Z')]]], {
        register: night,
      })
    expect(at('2026-11-02T20:45:00Z').whole[0]).toMatchObject({
      act: 'rule on it',
      byAt: ms('2026-11-02T21:30:00Z'),
    })
    // After closing only an opening out of hours can save it.
    const late = at('2026-11-02T23:00:00Z').whole
    expect(late.map(({ act, byAt }) => [act, byAt])).toContainEqual([
      'load it, hold the report',
      ms('2026-11-03T06:00:00Z'),
    ])
  })

  test('names as many findings as a link carries, whatever their ids are made of', () => {
    const report = (n: number): EventInput => [
      'deviation',
      '2026-11-02T16:00:00Z',
      {
        source: '\u{1f4e6}'.repeat(100),
        id: `${'\u{1f4e6}'.repeat(190)} ${n}`,
        facts: { what: `leak ${n}` },
      },
    ]
    const many = Array.from({ length: 100 }, (_, n) => report(n))
    const { whole } = judged('2026-11-03T15:00:00Z', [[ONE, [...SAFE, ...many]]])
    const [act] = whole
    expect(act?.act).toBe('rule on it')
    expect(act?.findings).toHaveLength(1)
    const subject = { sample: ONE.code, plant: 'CORK', laboratory: 'NORTH', product: null, service: null }
    expect(actPath(act as NextAct, subject, ADMINISTRATOR).length).toBeLessThan(5_000)
    const short = Array.from({ length: 100 }, (_, n) => found('2026-11-02T16:00:00Z', `leak ${n}`))
    const { whole: named } = judged('2026-11-03T15:00:00Z', [[ONE, [...SAFE, ...short]]])
    expect(named[0]?.findings).toHaveLength(100)
  })

  test('has every fault of a receipt named, and of very many findings the first', () => {
    const why = (count: number) => {
      const said = Array.from({ length: count }, (_, n) => found('2026-11-02T16:00:00Z', `leak ${n}`))
      const { whole } = judged('2026-11-03T15:00:00Z', [[ONE, [...SAFE, ...said]]])
      return whole[0] && english.message(whole[0].why)
    }
    expect(why(1)).toBe('Found: bag torn.')
    expect(why(3)).toBe('Found: bag torn; bag torn; bag torn.')
    expect(why(FAULTS.length + 2)).toBe(`Found: ${'bag torn; '.repeat(FAULTS.length)}and 2 things more.`)
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

test('a ruling on a tested sample is due by the office’s next working day after the finding, however late anyone looks', () => {
  const said: EventInput[] = [
    ...SAFE,
    ['received', '2026-11-02T15:00:00Z'],
    ['loaded', '2026-11-03T15:00:00Z'],
    found('2026-11-04T12:00:00Z'),
  ]
  const dues = ['2026-11-04T13:00:00Z', '2026-11-20T13:00:00Z'].map(
    (now) => judged(now, [[ONE, said]]).whole[0]?.byAt,
  )
  // The office is in Paris.
  expect(dues).toEqual([ms('2026-11-05T22:59:59.999Z'), ms('2026-11-05T22:59:59.999Z')])
})
