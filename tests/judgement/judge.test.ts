import { describe, expect, test } from 'vitest'
import type { Kit } from '@/lib/custody/register'
import { ProgrammeIndex } from '@/lib/judgement/programmeIndex'
import { english } from '@/lib/messages/english'
import type { Message } from '@/lib/messages/message'
import { ms } from '../custody/desk'
import { type EventInput, kit, makeProgramme, makeRegister } from '../schedule/programme'
import { judged, LONG, ONE } from './judged'
import { COPY, CUT, LEFT, SAFE } from './overdueCases'

test('a spare kit asks for nothing before its product is known or it replaces another', () => {
  expect(judged('2026-10-30T12:00:00Z', [[kit('CCCC444', { product: null }), []]]).acts).toEqual([])
})

describe('a fit sample', () => {
  test('is asked for what its last milestone leaves to do, by its deadline', () => {
    expect(judged('2026-10-30T12:00:00Z', [[ONE, [CUT]]]).whole[0]).toMatchObject({
      act: 'hand it over',
      // 24 hours from the cut end on Saturday: the last pickup before is on Friday at 14:00, in Lisbon.
      byAt: ms('2026-10-30T14:00:00Z'),
    })
    const there: EventInput[] = [CUT, LEFT, COPY, ['delivered', '2026-11-02T14:00:00Z']]
    expect(judged('2026-11-02T15:00:00Z', [[ONE, there]]).acts).toEqual(['laboratory: receive it'])
  })

  test('that no pickup can take in time is brought to the carrier by its limit', () => {
    const byAt = (now: string, cut: EventInput) => judged(now, [[ONE, [cut]]]).whole[0]?.byAt
    expect(byAt('2026-10-30T14:00:00.001Z', CUT)).toBe(ms('2026-10-31T10:00:00Z'))
    expect(byAt('2026-10-30T15:00:00Z', ['collected', '2026-10-30T14:30:00Z'])).toBe(
      ms('2026-10-31T14:30:00Z'),
    )
  })

  test('is handed over at the next pickup, and late after it', () => {
    const asked = (now: string) => judged(now, [[ONE, [CUT]]], { register: LONG }).whole[0]
    // Monday's pickup is at 16:30, in Lisbon.
    const at = ms('2026-11-02T16:30:00Z')
    expect(asked('2026-11-02T16:30:00Z')).toMatchObject({ byAt: at, overdue: null })
    expect(asked('2026-11-02T16:30:00.001Z')).toMatchObject({ overdue: { sinceAt: at } })
  })

  test('whose time is missing is asked for the time first, of whoever reports it', () => {
    const said: EventInput[] = [LEFT, COPY, ['received', '2026-11-02T15:00:00Z']]
    const { fitness, whole, acts } = judged('2026-11-02T16:00:00Z', [[ONE, said]])
    expect(fitness).toBe('in question')
    expect(whole[0]).toMatchObject({
      act: 'give the time',
      actor: { by: 'plant', code: 'CORK' },
      milestone: 'collected',
    })
    expect(acts).toContain('programme: rule on it')
  })

  test('that lapsed is not rescued by a receipt without its hand-over', () => {
    const said: EventInput[] = [CUT, ['received', '2026-11-02T15:00:00Z']]
    // 24 hours from the cut to the carrier were over on 31 October.
    const { fitness, restraint, lead } = judged('2026-11-02T16:00:00Z', [[ONE, said]])
    expect({ fitness, restraint, lead }).toEqual({
      fitness: 'in question',
      restraint: 'do not load',
      lead: 'give the time',
    })
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

  test('whose form is missing at its receipt is asked for it again, though a copy had come', () => {
    const found = { facts: { condition: { form: 'missing' } } }
    const said: EventInput[] = [...SAFE, ['received', '2026-11-03T15:00:00Z', found]]
    const copy = (at: string): EventInput => ['form copy', at]
    const asked = (...more: EventInput[]) =>
      judged('2026-11-03T16:00:00Z', [[ONE, [...said, ...more]]]).whole.find(
        ({ act }) => act === 'send the form copy',
      )
    // SAFE has a copy of 30 October. The plant's next workday after the receipt ends on Wednesday 4 November, in Lisbon.
    expect(asked()).toMatchObject({
      actor: { by: 'plant', code: 'CORK' },
      byAt: ms('2026-11-04T23:59:59.999Z'),
    })
    expect(asked() && english.message(asked()?.why as Message)).toBe(
      'Its form was missing or incomplete when it was received.',
    )
    expect(asked(copy('2026-11-03T15:30:00Z'))).toBeUndefined()
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
    expect(new Set(acts)).toEqual(
      new Set(['plant: give the time', 'laboratory: give the time', 'programme: review the certificate']),
    )
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

test('nobody is asked to hand over before a least time is over', () => {
  const { protocols } = LONG
  const register = makeRegister({
    protocols: [...protocols.values()].map((one) => ({
      ...one,
      limits: one.limits.map((limit) =>
        limit.name === 'cut to carrier' ? { ...limit, atLeast: 120 } : limit,
      ),
    })),
  })
  const { whole } = judged('2026-11-03T12:00:00Z', [[ONE, [CUT]]], { register })
  // 120 hours from the cut; the limit ends 168 hours after it.
  expect(whole[0]).toMatchObject({
    act: 'hand it over',
    notBeforeAt: ms('2026-11-04T10:00:00Z'),
    byAt: ms('2026-11-06T10:00:00Z'),
    overdue: null,
  })
})

test('a cancelled kit asks for nothing', () => {
  expect(judged('2026-11-12T12:00:00Z', [[ONE, [CUT, ['cancelled', '2026-10-30T12:00:00Z']]]]).acts).toEqual(
    [],
  )
})
