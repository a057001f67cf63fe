import { expect, test } from 'vitest'
import type { ReadEvent } from '@/lib/custody/event'
import { MAX_REPORTS } from '@/lib/custody/reportLimits'
import { deriveKit, event } from './desk'

const FIRST = Date.parse('2026-11-05T10:00:00Z')
const at = (second: number) => new Date(FIRST + second * 1000).toISOString()

/** Counts how often the ids of events are read, which each comparison of keys does. */
function countReads(events: readonly ReadEvent[]): { events: ReadEvent[]; reads: () => number } {
  let reads = 0
  const counted = events.map(({ id, ...event }) => ({
    ...event,
    get id() {
      reads += 1
      return id
    },
  }))
  return { events: counted, reads: () => reads }
}

/** What one key may report of a sample: deviations with a fault of a receipt after every fourth. */
function findMuch(count: number): ReadEvent[] {
  return Array.from({ length: count }, (_, n) =>
    n % 5 === 4
      ? event('received', at(n), { id: `${n}`, facts: { condition: { seal: 'broken' } } })
      : event('deviation', at(n), { id: `${n}`, facts: { what: `leak ${n}` } }),
  )
}

test('as much as one may report of a sample is read in a number of steps that grows with its events alone', () => {
  const readsOf = (count: number) => {
    const { events, reads } = countReads(findMuch(count))
    expect(deriveKit(events).findings.length).toBeGreaterThan(count / 2)
    return reads()
  }
  expect(readsOf(MAX_REPORTS)).toBeLessThan(1.5 * (MAX_REPORTS / 100) * readsOf(100))
})
