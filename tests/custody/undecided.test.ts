import { describe, expect, test } from 'vitest'
import { listUndecided } from '@/lib/custody/sample'
import { deriveKit, event, getState, ms, NOW, registerWithLimits } from './desk'

const asked = (...events: ReturnType<typeof event>[]) => listUndecided(deriveKit(events), NOW)
const AT_PLANT = { place: 'CORK' }

describe('the exact time is asked for', () => {
  const cutDay = event('collected', '2026-10-20', AT_PLANT)

  test('of a cut known by its day, where 24 hours from it end within the doubt', () => {
    const left = event('dispatched', '2026-10-21T12:00:00Z')
    expect(getState(deriveKit([cutDay, left]), 'cut to carrier')).toBe('lapsed')
    expect(asked(cutDay, left)).toEqual(['collected'])
    expect(asked(cutDay, event('dispatched', '2026-10-20T20:00:00Z'))).toEqual([])
    expect(asked(cutDay, event('dispatched', '2026-10-22T12:00:00Z'))).toEqual([])
  })

  test('of reports that disagree, where the later one would keep the limit', () => {
    const cuts = ['2026-10-20T08:00:00Z', '2026-10-20T14:00:00Z'].map((at) => event('collected', at))
    expect(asked(...cuts, event('dispatched', '2026-10-21T12:00:00Z'))).toEqual(['collected'])
    expect(asked(...cuts, event('dispatched', '2026-10-21T07:00:00Z'))).toEqual([])
  })

  test('of a load known by its day, where a least time may not be over', () => {
    const register = registerWithLimits({ 'dock to chamber': { atLeast: 1 } })
    const arrived = event('received', '2026-10-22T15:00:00Z')
    const load = (at: string) =>
      deriveKit([event('collected', '2026-10-20T10:00:00Z'), arrived, event('loaded', at, { zone: 'UTC' })], {
        register,
      })
    // Day 1 in New York begins at 04:00 UTC on 23 October.
    expect(getState(load('2026-10-23'), 'dock to chamber')).toBe('early')
    expect(listUndecided(load('2026-10-23'), NOW)).toEqual(['loaded'])
    expect(listUndecided(load('2026-10-24'), NOW)).toEqual([])
  })

  test('of a start while its clock runs, only between its two dues', () => {
    const sample = deriveKit([cutDay], { now: ms('2026-10-21T12:00:00Z') })
    const at = (text: string) => listUndecided(sample, ms(text))
    expect(at('2026-10-20T22:59:59.999Z')).toEqual([])
    expect(at('2026-10-21T12:00:00Z')).toEqual(['collected'])
    expect(at('2026-10-22T00:00:00Z')).toEqual([])
  })

  test('of nothing in local days, which the hour does not decide', () => {
    expect(
      asked(cutDay, event('dispatched', '2026-10-20T20:00:00Z'), event('loaded', '2026-10-28', AT_PLANT)),
    ).toEqual([])
  })
})
