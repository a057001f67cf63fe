import { expect, test } from 'vitest'
import type { SampleRow } from '@/lib/store/projection/sampleRow'
import { compareUrgency } from '@/lib/store/read/board'
import { clock, row } from '@/tests/app/sampleRows'

const cutAt = Date.parse('2026-11-01T09:00:00Z')
const makeForecast = (risk: number): SampleRow['forecast'] => ({
  limit: 'cut to chamber',
  risk,
  low: 0,
  high: 1,
  p10: null,
  p50: null,
  p90: null,
  days: [],
  needsOpening: false,
  scoredAt: cutAt,
})
/** A row called after how it should come, due so many hours after the others. */
const sample = (code: string, standing: SampleRow['standing'], risk: number | null, dueHours = 0) =>
  row({
    code,
    standing,
    forecast: risk === null ? null : makeForecast(risk),
    binding: clock({ startedAt: cutAt + dueHours * 3_600_000 }),
  })

test('urgency is ordered by standing, then by the chance to miss, then by due', () => {
  const rows = [
    sample('A', 'lapsed', null),
    sample('B', 'at risk', 0.9, 50),
    sample('C', 'at risk', 0.3),
    // Which of these two is the likelier cannot be said in per cent: the first due.
    sample('D', 'at risk', 0.203, 1),
    sample('E', 'at risk', 0.204, 2),
    // No chance is known: it counts as where its standing begins.
    sample('F', 'at risk', null, 3),
    sample('G', 'tight', 0.1, 9),
    sample('H', 'tight', null, 1),
    sample('I', 'sound', 0.01, 1),
    sample('J', 'sound', 0.04, 2),
  ]
  const shuffled = [5, 0, 9, 3, 7, 1, 8, 2, 6, 4].map((place) => rows[place] as SampleRow)
  expect(
    shuffled
      .sort(compareUrgency)
      .map(({ code }) => code)
      .join(''),
  ).toBe('ABCDEFGHIJ')
})
