import { describe, expect, test } from 'vitest'
import { ENDINGS } from '@/lib/hold/milestone'
import { event, judged, state } from './desk'

const cut = event('collected', '2026-10-20T10:00:00Z')
const left = event('dispatched', '2026-10-20T15:00:00Z')
const arrived = event('received', '2026-10-22T15:00:00Z')
const loaded = event('loaded', '2026-10-23T15:00:00Z')

describe('a sample is open', () => {
  test('until every clock of its protocol has stopped', () => {
    expect(judged([cut, left, arrived]).settled).toBeNull()
    expect(judged([cut, left, arrived, loaded]).settled).toBe('kept')
  })

  test('although it is loaded, while one of its clocks has not stopped', () => {
    expect(judged([cut, arrived, loaded]).settled).toBeNull()
  })

  test('or until it is reported', () => {
    expect(judged([cut, left, arrived, event('reported', '2026-11-01T15:00:00Z')]).settled).not.toBeNull()
  })

  test.each(ENDINGS)('or until it is %s', (ending) => {
    const sample = judged([cut, left, event(ending, '2026-10-23T15:00:00Z')])
    expect(sample.settled).toBe('ended')
    expect(state(sample, 'cut to chamber')).toBe('ended')
    expect(state(sample, 'dock to chamber')).toBe('not started')
    expect(state(sample, 'cut to carrier')).toBe('kept')
  })

  test('again when its ending is withdrawn', () => {
    const lost = event('lost', '2026-10-23T15:00:00Z', { id: 'lost' })
    const found = event('withdrawn', '2026-10-24T15:00:00Z', { corrects: 'desk/lost' })
    expect(judged([cut, left, lost, found]).settled).toBeNull()
  })

  test('while nothing is known of it', () => {
    expect(judged([]).settled).toBeNull()
  })
})

describe('a settled sample', () => {
  test('is lapsed where a clock lapsed, though it also ended', () => {
    const late = event('dispatched', '2026-10-21T10:00:00.001Z')
    expect(judged([cut, late, event('lost', '2026-10-23T15:00:00Z')]).settled).toBe('lapsed')
  })

  test('is unproven where a clock has a stop and no start', () => {
    const sample = judged([cut, left, loaded, event('received', '2026-10-24T15:00:00Z')])
    expect(state(sample, 'dock to chamber')).toBe('unproven')
    expect(sample.settled).toBe('unproven')
  })

  test('takes the first of two endings', () => {
    const endings = [event('returned', '2026-10-24T15:00:00Z'), event('lost', '2026-10-23T15:00:00Z')]
    for (const order of [endings, [...endings].reverse()])
      expect(judged([cut, ...order]).history.ending?.kind).toBe('lost')
  })
})
