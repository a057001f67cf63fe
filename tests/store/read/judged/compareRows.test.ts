import { expect, test } from 'vitest'
import type { NextAct } from '@/lib/judgement/nextAct'
import type { SampleRow } from '@/lib/store/projection/sampleRow'
import { compareRows } from '@/lib/store/read/judged/compareRows'
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

const at = (hours: number) => cutAt + hours * 3_600_000
const saving = (hours: number) => ({
  loss: { kind: 'sample' as const, at: at(hours), zone: 'UTC', milestone: 'loaded' as const },
})
const leads = (...acts: NextAct[]) => ({ judgement: { acts } })
const owed = (lateHours: number) => ({
  judgement: {
    fitness: 'unfit' as const,
    acts: [
      act('replace it', 'programme', {
        overdue: { kind: 'lapsed with no re-collection', sinceAt: at(-lateHours) },
      }),
    ],
  },
})

test('rows come by what leads of each, then by group, by the chance to miss, and by due', () => {
  const rows = [
    // What can still be saved, the soonest lost first, whatever its group.
    sample('A', 'sound', null, 0, leads(act('load it, hold the report', 'laboratory', saving(1)))),
    sample('B', 'at risk', 0.2, 50, leads(act('load it', 'laboratory', { isUrgent: true, ...saving(2) }))),
    sample('C', 'sound', 0.01, 9, leads(act('rule on it', 'programme', saving(3)))),
    // What is only late, the last first, settled or not.
    sample('D', 'kept', null, 0, {
      isSettled: true,
      settledAt: at(-9),
      ...leads(
        act('review the certificate', 'programme', {
          overdue: { kind: 'deviation with no ruling', sinceAt: at(-2) },
        }),
      ),
    }),
    sample('E', 'lapsed', null, 2, owed(3)),
    sample('F', 'lapsed', null, 1, { isSettled: true, settledAt: at(-1), ...owed(4) }),
    // Nobody has to do anything today: by group.
    sample('G', 'sound', null, 0, { judgement: { fitness: 'in question' } }),
    sample('H', 'at risk', 0.9, 50),
    sample('I', 'at risk', 0.3),
    // Which of these two is the likelier cannot be said in per cent: the first due.
    sample('J', 'at risk', 0.203, 1),
    sample('K', 'at risk', 0.204, 2),
    // No chance is known: it counts as where its standing begins.
    sample('L', 'at risk', null, 3),
    sample('M', 'tight', 0.1, 9),
    sample('N', 'tight', null, 1),
    sample('O', 'sound', 0.04, 1),
    sample('P', 'sound', 0.01, 2),
    // Its limits are over and kept, and its report is awaited.
    sample('Q', 'kept', null, 0, { isSettled: true, ...leads(act('report it', 'laboratory')) }),
    sample('R', 'lapsed', null, 9, { judgement: { fitness: 'unfit' } }),
    sample('S', 'lapsed', null, 8, { judgement: null }),
    sample('T', 'lapsed', null, 9, { judgement: { fitness: 'unfit' }, replacedBy: 'Q' }),
    sample('U', 'kept', null, 0, { isSettled: true, settledAt: at(-1) }),
    sample('V', 'kept', null, 0, { isSettled: true, settledAt: at(-2) }),
  ]
  const shuffled = rows
    .map((row, index) => ({ row, place: (index * 7) % 22 }))
    .sort((a, b) => a.place - b.place)
    .map(({ row }) => row)
  expect(
    shuffled
      .sort(compareRows)
      .map(({ code }) => code)
      .join(''),
  ).toBe('ABCDEFGHIJKLMNOPQRSTUV')
})
