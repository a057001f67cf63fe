import { describe, expect, test } from 'vitest'
import type { ReadEvent } from '@/lib/custody/event'
import { findFailure, getFitness } from '@/lib/custody/fitness'
import { deriveKit, event, iso, ms, NOW, registerWithLimits, SPARE } from './desk'

const cut = event('collected', '2026-10-20T10:00:00Z')
const sent = event('dispatched', '2026-10-20T15:00:00Z')
const received = event('received', '2026-10-22T15:00:00Z', { id: 'receipt' })
const broken = event('received', '2026-10-22T15:00:00Z', {
  id: 'receipt',
  facts: { condition: { seal: 'broken' } },
})
const loaded = event('loaded', '2026-10-23T15:00:00Z')
const found = event('deviation', '2026-10-22T16:00:00Z', { id: 'found', facts: { what: 'bag leaking' } })
const ruling = (word: string, on: unknown = 'desk/found') =>
  event('ruling', '2026-10-23T09:00:00Z', { facts: { on, ruling: word } })
const WHILE_OPEN = ms('2026-10-24T12:00:00Z')

const judge = (events: readonly ReadEvent[], now = NOW, more = {}) => {
  const sample = deriveKit(events, { now, ...more })
  const failure = findFailure(sample, now)
  return { fitness: getFitness(sample, now), settled: sample.settled, failure: failure?.reason ?? null }
}
const FIT = { fitness: 'fit', failure: null }
const QUESTIONED = { fitness: 'in question', failure: null }

describe('a sample is fit', () => {
  test('while nothing is found and its time runs', () => {
    expect(judge([cut, sent, received], WHILE_OPEN)).toEqual({ ...FIT, settled: null })
  })

  test('when every clock is kept', () => {
    expect(judge([cut, sent, received, loaded])).toEqual({ ...FIT, settled: 'kept' })
  })

  test('with a note that nobody ruled on', () => {
    const noted = event('received', '2026-10-22T15:00:00Z', { facts: { condition: { form: 'missing' } } })
    expect(judge([cut, sent, noted, loaded])).toEqual({ ...FIT, settled: 'kept' })
  })

  test.each(['use', 'use with a note'])('after the ruling “%s”', (word) => {
    expect(judge([cut, sent, received, found, ruling(word), loaded])).toEqual({ ...FIT, settled: 'kept' })
  })

  test('when only its report is late, whatever its standing', () => {
    const made = event('produced', '2026-08-01T10:00:00Z', { sample: SPARE, product: 'PANEL' })
    const chosen = event('collected', '2026-08-02T10:00:00Z', { sample: SPARE, product: 'PANEL' })
    expect(judge([made, chosen], NOW, { of: SPARE })).toEqual({ ...FIT, settled: null })
    const reported = event('reported', '2026-10-02T10:00:00Z', { sample: SPARE })
    expect(judge([made, chosen, reported], NOW, { of: SPARE })).toEqual({ ...FIT, settled: 'lapsed' })
  })
})

describe('a sample is in question', () => {
  test('while a fault of its receipt waits for a ruling, received or loaded', () => {
    expect(judge([cut, sent, broken], WHILE_OPEN)).toEqual({ ...QUESTIONED, settled: null })
    expect(judge([cut, sent, broken, loaded])).toEqual({ ...QUESTIONED, settled: 'unproven' })
    expect(judge([cut, sent, broken, loaded, ruling('use', 'desk/receipt#seal')])).toEqual({
      ...FIT,
      settled: 'kept',
    })
  })

  test('while only some of its findings have a ruling', () => {
    expect(judge([cut, sent, broken, found, ruling('use')], WHILE_OPEN)).toEqual({
      ...QUESTIONED,
      settled: null,
    })
    const both = ruling('use', ['desk/found', 'desk/receipt#seal'])
    expect(judge([cut, sent, broken, found, both], WHILE_OPEN)).toEqual({ ...FIT, settled: null })
  })

  test('when a clock stopped too early, and proves nothing even if that is ruled on', () => {
    const register = registerWithLimits({ 'dock to chamber': { atLeast: 2 } })
    const events = [cut, sent, received, loaded]
    expect(judge(events, NOW, { register })).toEqual({ ...QUESTIONED, settled: 'unproven' })
    const [finding] = deriveKit(events, { register }).findings
    expect([finding?.key, iso(finding?.at)]).toEqual(['dock to chamber#early', '2026-10-23T15:00:00.000Z'])
    const ruled = [...events, ruling('use', 'dock to chamber#early')]
    expect(judge(ruled, NOW, { register })).toEqual({ ...FIT, settled: 'unproven' })
  })

  test('when a clock stopped without a start', () => {
    expect(judge([cut, sent, loaded], WHILE_OPEN)).toEqual({ ...QUESTIONED, settled: null })
  })

  test('when it was given up as lost and arrived', () => {
    const lost = event('lost', '2026-10-21T15:00:00Z')
    expect(judge([cut, sent, lost], WHILE_OPEN).fitness).toBe('unfit')
    expect(judge([cut, sent, lost, received], WHILE_OPEN)).toEqual({ ...QUESTIONED, settled: null })
  })

  test('when its rejection was taken back', () => {
    const rejected = event('rejected', '2026-10-22T16:00:00Z', { id: 'no', reason: 'bag torn' })
    const withdrawn = event('withdrawn', '2026-10-22T17:00:00Z', { corrects: 'desk/no' })
    expect(judge([cut, sent, received, rejected], WHILE_OPEN)).toMatchObject({ failure: 'rejected' })
    expect(judge([cut, sent, received, rejected, withdrawn], WHILE_OPEN)).toEqual({
      ...QUESTIONED,
      settled: null,
    })
  })
})

describe('a sample is unfit', () => {
  test('when a limit ran out, whatever was ruled', () => {
    const lapsed = { fitness: 'unfit', failure: 'lapsed' }
    expect(judge([cut, sent, received])).toEqual({ ...lapsed, settled: null })
    const late = event('loaded', '2026-11-05T15:00:00Z')
    expect(judge([cut, sent, received, late])).toEqual({ ...lapsed, settled: 'lapsed' })
    expect(judge([cut, sent, received, found, ruling('use'), late])).toEqual({ ...lapsed, settled: 'lapsed' })
  })

  test('when it is ruled out, at once and for good', () => {
    const out = { fitness: 'unfit', failure: 'cut again', settled: 'ended' }
    expect(judge([cut, sent, received, found, ruling('cut again')], WHILE_OPEN)).toEqual(out)
    expect(judge([cut, sent, received, found, ruling('cut again'), loaded])).toEqual(out)
    expect(judge([cut, sent, received, broken, found, ruling('cut again')])).toEqual(out)
  })

  test('when it ended; a cancelled kit failed in nothing', () => {
    const rejected = event('rejected', '2026-10-22T16:00:00Z', { reason: 'bag torn' })
    expect(judge([cut, sent, received, rejected])).toEqual({
      fitness: 'unfit',
      failure: 'rejected',
      settled: 'ended',
    })
    expect(judge([event('cancelled', '2026-10-22T16:00:00Z')])).toEqual({
      fitness: 'unfit',
      failure: null,
      settled: 'ended',
    })
  })
})

test('a sample without a limit proves nothing by time, and is unproven once it is reported', () => {
  const reported = event('reported', '2026-10-22T16:00:00Z', { sample: SPARE })
  expect(judge([reported], NOW, { of: SPARE })).toEqual({ ...FIT, settled: 'unproven' })
})
