import { describe, expect, test } from 'vitest'
import { ENDINGS } from '@/lib/hold/milestone'
import { deriveKit, event, getState } from './desk'

const cut = event('collected', '2026-10-20T10:00:00Z')
const left = event('dispatched', '2026-10-20T15:00:00Z')
const arrived = event('received', '2026-10-22T15:00:00Z')
const loaded = event('loaded', '2026-10-23T15:00:00Z')

describe('a sample is open', () => {
  test('until every clock of its protocol has stopped', () => {
    expect(deriveKit([cut, left, arrived]).settled).toBeNull()
    expect(deriveKit([cut, left, arrived, loaded]).settled).toBe('kept')
  })

  test('while one of its clocks has not stopped, even if it is loaded', () => {
    expect(deriveKit([cut, arrived, loaded]).settled).toBeNull()
  })

  test('or until it is reported', () => {
    expect(deriveKit([cut, left, arrived, event('reported', '2026-11-01T15:00:00Z')]).settled).not.toBeNull()
  })

  test.each(ENDINGS)('or until it is %s', (ending) => {
    const sample = deriveKit([cut, left, event(ending, '2026-10-23T15:00:00Z')])
    expect(sample.settled).toBe('ended')
    expect(getState(sample, 'cut to chamber')).toBe('ended')
    expect(getState(sample, 'dock to chamber')).toBe('not started')
    expect(getState(sample, 'cut to carrier')).toBe('kept')
  })

  test('again when its ending is withdrawn', () => {
    const lost = event('lost', '2026-10-23T15:00:00Z', { id: 'lost' })
    const found = event('withdrawn', '2026-10-24T15:00:00Z', { corrects: 'desk/lost' })
    expect(deriveKit([cut, left, lost, found]).settled).toBeNull()
  })

  test('while nothing is reported', () => {
    expect(deriveKit([]).settled).toBeNull()
  })
})

describe('a settled sample', () => {
  test('is lapsed if a clock lapsed, even if it also ended', () => {
    const late = event('dispatched', '2026-10-21T10:00:00.001Z')
    expect(deriveKit([cut, late, event('lost', '2026-10-23T15:00:00Z')]).settled).toBe('lapsed')
  })

  test('is unproven if a clock has a stop and no start', () => {
    const sample = deriveKit([cut, left, loaded, event('received', '2026-10-24T15:00:00Z')])
    expect(getState(sample, 'dock to chamber')).toBe('unproven')
    expect(sample.settled).toBe('unproven')
  })

  test('has the first of two endings', () => {
    const endings = [event('returned', '2026-10-24T15:00:00Z'), event('lost', '2026-10-23T15:00:00Z')]
    for (const order of [endings, [...endings].reverse()])
      expect(deriveKit([cut, ...order]).history.ending?.kind).toBe('lost')
  })
})
