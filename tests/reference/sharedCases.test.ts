import { describe, expect, test } from 'vitest'
import { deduplicateEvents, deriveSamples } from '@/lib/custody/assess'
import type { ReadEvent } from '@/lib/custody/event'
import { assessClocks } from '@/lib/custody/sample'
import { CASE_NOW, type CaseName, caseFile, sharedCase } from '@/tests/cases/sharedCase'
import { getRunSeed } from '@/tests/setup/seed'
import { chanceFrom } from './random'

// Source: the expected tables were worked out by a program of its own from the rules alone, not by this project.

/** The table of a case from its events, in the order and with the repetitions given. */
function table(name: CaseName, events: readonly ReadEvent[]): string[] {
  const { kits, register } = sharedCase(name)
  const { events: once, conflicts } = deduplicateEvents(events)
  expect(conflicts).toEqual([])
  const iso = (at: number | null) => (at === null ? '' : new Date(at).toISOString())
  return deriveSamples(once, kits, register, CASE_NOW)
    .flatMap((sample) => assessClocks(sample, CASE_NOW))
    .map((row) =>
      [row.sample, quote(row.limit), row.state, iso(row.startedAt), iso(row.dueAt), iso(row.stoppedAt)].join(
        ',',
      ),
    )
}

/** RFC 4180: a cell with a comma stands in quotes. */
const quote = (cell: string) => (cell.includes(',') ? `"${cell}"` : cell)

const expected = (name: CaseName) => caseFile(name, 'expected.csv').trimEnd().split('\n').slice(1)

describe.each([
  ['autumn', 'ndjson', 430],
  ['autumn', 'csv', 430],
  ['edges', 'ndjson', 50],
  ['rest', 'ndjson', 718],
] as const)('the shared case %s from its %s file', (name, format, least) => {
  const { events } = sharedCase(name, format)

  test('comes out as expected, line for line', () => {
    expect(events.length).toBeGreaterThanOrEqual(least)
    expect(table(name, events)).toEqual(expected(name))
  })

  test('comes out the same from many shuffles with some events repeated', () => {
    const seed = getRunSeed()
    const chance = chanceFrom(seed)
    // The largest case takes three times as long as the others.
    const rounds = name === 'rest' ? 20 : 60
    for (let round = 0; round < rounds; round += 1) {
      const repeated = events.filter(() => chance.whole(3) === 0)
      expect(table(name, chance.shuffled([...events, ...repeated])), `seed ${seed}, round ${round}`).toEqual(
        expected(name),
      )
    }
  })
})

test('both files of the autumn case hold the same events', () => {
  const contents = (format: 'ndjson' | 'csv') =>
    new Set(sharedCase('autumn', format).events.map((event) => JSON.stringify(event)))
  expect(contents('csv')).toEqual(contents('ndjson'))
})
