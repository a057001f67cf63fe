import { describe, expect, test } from 'vitest'
import { findBindingClock } from '@/lib/hold/standing'
import { clock } from './places'

const binds = (clocks: Parameters<typeof findBindingClock>[0], now: number) =>
  findBindingClock(clocks, now)?.limit.name

describe('the binding clock', () => {
  test('is the one whose standing is worst, though another is due first', () => {
    // At 90 the long one has used 90 of 100 and is at risk; the short one, due at 95, has used 1 of 6.
    const long = clock({ name: 'long', startedAt: 0, dueAt: 100 })
    const short = clock({ name: 'short', startedAt: 89, dueAt: 95 })
    expect(binds([long, short], 90)).toBe('long')
    expect(binds([short, long], 90)).toBe('long')
  })

  test('is the first due if their standings are the same', () => {
    const first = clock({ name: 'z first', dueAt: 1_000 })
    const second = clock({ name: 'a second', dueAt: 1_001 })
    expect(binds([second, first], 1)).toBe('z first')
    expect(binds([first, second], 1)).toBe('z first')
  })

  test('is the first by name if they are due together', () => {
    expect(binds([clock({ name: 'b' }), clock({ name: 'a' })], 1)).toBe('a')
    expect(binds([clock({ name: 'a' }), clock({ name: 'b' })], 1)).toBe('a')
  })

  test('is the one likeliest to be missed, whatever their times say', () => {
    const first = clock({ name: 'first', startedAt: 0, dueAt: 100 })
    const second = clock({ name: 'second', startedAt: 89, dueAt: 1_000 })
    const likeliest = (...risks: [string, number][]) =>
      [
        [first, second],
        [second, first],
      ].map((clocks) => findBindingClock(clocks, 90, new Map(risks))?.limit.name)
    expect(likeliest(['first', 0.1], ['second', 0.3])).toEqual(['second', 'second'])
    // Chances that cannot be told apart: the first due.
    expect(likeliest(['first', 0.3], ['second', 0.3001])).toEqual(['first', 'first'])
    // The first has no chance: with 90 of 100 used it counts as at risk.
    expect(likeliest(['second', 0.19])).toEqual(['first', 'first'])
    expect(likeliest(['second', 0.21])).toEqual(['second', 'second'])
  })

  test('is an overrun one, whatever the chances', () => {
    const overrun = clock({ name: 'overrun', dueAt: 100 })
    const running = clock({ name: 'running', dueAt: 120 })
    expect(findBindingClock([running, overrun], 110, new Map([['running', 0.99]]))?.limit.name).toBe(
      'overrun',
    )
  })

  test('is an overrun one before a running one', () => {
    const overrun = clock({ name: 'overrun', dueAt: 100 })
    const running = clock({ name: 'running', dueAt: 120 })
    expect(binds([running, overrun], 110)).toBe('overrun')
  })

  test('is never one that stopped, never started, ended or waits for a report', () => {
    const others = [
      clock({ stoppedAt: 50 }),
      clock({ stoppedAt: 150 }),
      clock({ startedAt: null, dueAt: null }),
      clock({ isEnded: true }),
      clock({ isNotReported: true }),
    ]
    expect(findBindingClock(others, 90)).toBeUndefined()
    expect(binds([...others, clock({ name: 'the one that runs', dueAt: 10_000 })], 90)).toBe(
      'the one that runs',
    )
  })
})
