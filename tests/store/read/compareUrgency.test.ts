import { expect, test } from 'vitest'
import type { SampleRow } from '@/lib/store/projection/sampleRow'
import { compareUrgency } from '@/lib/store/read/board'
import type { JudgedRow } from '@/lib/store/read/judged/judgedRow'
import { act, clock, judgedRow } from '@/tests/app/sampleRows'

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
const sample = (
  code: string,
  standing: SampleRow['standing'],
  risk: number | null,
  dueHours = 0,
  more: Parameters<typeof judgedRow>[0] = {},
) =>
  judgedRow({
    code,
    standing,
    forecast: risk === null ? null : makeForecast(risk),
    binding: clock({ startedAt: cutAt + dueHours * 3_600_000 }),
    ...more,
  })

const owed = { judgement: { fitness: 'unfit' as const, acts: [act('replace it', 'programme')] } }
const asking = { judgement: { acts: [act('hand it over', 'plant', { isUrgent: true })] } }

test('urgency is ordered by condition, then by the chance to miss, then by due', () => {
  const rows = [
    sample('A', 'lapsed', null, 2, owed),
    // Ruled out: its limit still runs.
    sample('B', 'sound', null, 1, owed),
    sample('C', 'sound', null, 0, { judgement: { fitness: 'in question' } }),
    sample('D', 'at risk', 0.9, 50),
    sample('E', 'at risk', 0.3),
    // Which of these two is the likelier cannot be said in per cent: the first due.
    sample('F', 'at risk', 0.203, 1),
    sample('G', 'at risk', 0.204, 2),
    // No chance is known: it counts as where its standing begins.
    sample('H', 'at risk', null, 3),
    sample('I', 'tight', 0.1, 9),
    sample('J', 'tight', null, 1),
    // Its hand-over is overdue.
    sample('K', 'sound', 0.01, 9, asking),
    sample('L', 'sound', 0.01, 1),
    sample('M', 'sound', 0.04, 2),
    // Nobody asks for another in its place.
    sample('N', 'lapsed', null, 9, { judgement: { fitness: 'unfit' } }),
    sample('O', 'lapsed', null, 8, { judgement: null }),
    sample('P', 'lapsed', null, 9, { judgement: { fitness: 'unfit' }, replacedBy: 'Q' }),
  ]
  const order = [5, 0, 9, 13, 3, 15, 7, 11, 1, 8, 2, 14, 6, 4, 10, 12]
  const shuffled = order.map((place) => rows[place] as JudgedRow)
  expect(
    shuffled
      .sort(compareUrgency)
      .map(({ code }) => code)
      .join(''),
  ).toBe('ABCDEFGHIJKLMNOP')
})
