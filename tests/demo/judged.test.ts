import { describe, expect, test } from 'vitest'
import { getFitness } from '@/lib/custody/fitness'
import type { SampleWithEvents } from '@/lib/custody/sample'
import { judge } from '@/lib/judgement/judge'
import { ProgrammeIndex } from '@/lib/judgement/programmeIndex'
import { assessDemo } from './assessDemo'
import { planDemo } from './planDemo'

describe.each([
  ['2026-11-25T12:00:00Z', 1],
  ['2026-12-29T21:30:00Z', 7],
])('what was found in the demo at %s, and what it asks for', (nowText, seed) => {
  const demo = assessDemo(nowText, seed)
  const index = new ProgrammeIndex(planDemo(demo))
  const { now } = demo

  /** The first sample with such a finding, by the end of its key. */
  function findByFinding(...ends: string[]): SampleWithEvents {
    const has = ({ findings }: SampleWithEvents, end: string) => findings.some(({ key }) => key.endsWith(end))
    return pick(({ kit, ...sample }) => ends.every((end) => has({ kit, ...sample }, end)))
  }

  function pick(
    isWanted: (sample: SampleWithEvents) => boolean,
    samples: readonly SampleWithEvents[] = demo.samples,
  ): SampleWithEvents {
    const found = samples.filter(isWanted).sort((a, b) => b.kit.issuedAt - a.kit.issuedAt)[0]
    if (!found) throw new Error('the demo has no such sample')
    return found
  }

  const listActs = (sample: SampleWithEvents) => judge(sample, index).acts.map(({ act }) => act)
  const isUnruled = ({ findings }: SampleWithEvents) => findings.some(({ decision }) => decision === null)

  test('a box received hot, with a broken seal and damaged waits for one ruling on all three', () => {
    const sample = findByFinding('#seal', '#packaging', '#temperature')
    expect(getFitness(sample, now)).toBe('in question')
    const [rule] = judge(sample, index).acts
    expect(rule).toMatchObject({ act: 'rule on it', actor: { by: 'programme' } })
    expect(rule?.findings).toHaveLength(3)
  })

  test('a wet box is used with a note', () => {
    const sample = pick(({ findings }) =>
      findings.some(
        ({ key, decision }) => key.endsWith('#packaging') && decision?.ruling === 'use with a note',
      ),
    )
    expect(getFitness(sample, now)).toBe('fit')
  })

  test('one with two faults is to be cut again, and a spare kit is at its plant', () => {
    const sample = pick(
      ({ findings, history }) =>
        history.replacedBy === null &&
        findings.filter(({ decision }) => decision?.ruling === 'cut again').length === 2,
    )
    expect(getFitness(sample, now)).toBe('unfit')
    const [lead] = judge(sample, index).acts
    expect(lead?.act).toBe('replace it')
    const spare = demo.samples.find(({ kit }) => kit.code === lead?.spare)
    expect(spare?.kit.plant).toBe(sample.kit.plant)
  })

  test('a broken seal was taken back, with a reason', () => {
    const [takenBack, ...others] = demo.wire.filter(({ corrects }) => corrects?.endsWith('#seal'))
    expect(others).toEqual([])
    expect(takenBack).toMatchObject({ kind: 'withdrawn', facts: { reason: expect.any(String) } })
    const sample = pick(({ kit }) => kit.code === takenBack?.sample?.toUpperCase().replace('-', ''))
    expect(sample.findings).toEqual([])
    expect(getFitness(sample, now)).toBe('fit')
  })

  test('a missing form is a note, and a copy is asked for', () => {
    const sample = findByFinding('#form')
    expect(sample.findings).toMatchObject([{ grade: 'note', decision: null }])
    expect(getFitness(sample, now)).toBe('fit')
    expect(listActs(sample)).toContain('send the form copy')
  })

  test('a plant found something itself, before the hand-over and after', () => {
    const isByPlant = ({ events }: SampleWithEvents) =>
      events.some(({ event }) => event.kind === 'deviation' && event.source.startsWith('plant desk'))
    const before = pick((one) => isByPlant(one) && one.history.stage === 'sealed')
    expect(judge(before, index).restraint).toBe('do not send')
    const { event } = before.events.find((one) => one.event.kind === 'deviation') ?? {}
    expect(event?.facts).toMatchObject({ sealNumber: expect.any(String), openFor: expect.any(String) })
    const after = pick((one) => isByPlant(one) && one.history.stage === 'dispatched')
    expect(listActs(after)[0]).toBe('rule on it')
  })

  test('customs hold one, and said who releases it and by when', () => {
    const sample = pick(({ history }) => history.held?.by != null && history.held.untilAt !== null)
    expect(listActs(sample)).toContain('have it released')
  })

  test('one given up as lost arrived, and a rejection was taken back', () => {
    for (const end of ['#arrived', '#taken back']) {
      const sample = findByFinding(end)
      expect(getFitness(sample, now), end).toBe('in question')
      expect(listActs(sample)[0], end).toBe('rule on it')
    }
  })

  test('a box without a readable code was received with its condition', () => {
    const box = demo.unplaced.find(({ sample, waybill }) => sample === null && waybill === null)
    expect(box).toMatchObject({
      kind: 'received',
      facts: { writtenOnBox: expect.any(String), condition: expect.any(Object) },
    })
    expect(box?.place).not.toBeNull()
  })

  test('one in the chamber was loaded early, and one is unproven', () => {
    const early = pick((one) => one.findings.some(({ key }) => key.endsWith('#early')), demo.open)
    expect(listActs(early)).toContain('go on, hold the report')
    const unproven = pick(
      (one) => one.findings.some(({ key }) => key.endsWith('#unproven')) && isUnruled(one),
      demo.open,
    )
    expect(getFitness(unproven, now)).toBe('in question')
  })

  test('of one only the day of the cut is known, and the hour decides', () => {
    const sample = pick(
      ({ undecided, history }) =>
        history.stage === 'dispatched' && undecided.some(({ milestone }) => milestone === 'collected'),
    )
    expect(listActs(sample)).toContain('give the time')
  })

  test('one lapsed and is in the chamber', () => {
    const sample = pick(
      (one) => one.history.stage === 'loaded' && getFitness(one, now) === 'unfit',
      demo.open,
    )
    expect(listActs(sample)).toContain('stop or go on')
  })

  test('what was retained lapses and asks for nothing, unless it replaces another', () => {
    const isRetained = ({ kit }: SampleWithEvents) => kit.purpose === 'retained'
    const lapsed = pick((one) => isRetained(one) && getFitness(one, now) === 'unfit', demo.open)
    expect(judge(lapsed, index)).toMatchObject({ standing: 'lapsed', acts: [] })
    const replacing = pick((one) => isRetained(one) && index.isOwed(one), demo.open)
    expect(listActs(replacing)[0]).toBe('hand it over')
  })

  test('protocols say which temperatures are right, but one whose receipts report some', () => {
    const ranges = demo.register.protocols.map(({ condition }) => condition?.temperature)
    expect(ranges.filter((range) => range === undefined)).toHaveLength(1)
    expect(demo.register.protocols.some(({ condition }) => condition?.grades)).toBe(true)
    expect(
      new Set(demo.samples.filter((one) => one.unjudgedTemperature !== null).map(({ protocol }) => protocol)),
    ).toEqual(new Set(['CORK']))
  })
})
