import { expect, test } from 'vitest'
import { ProgrammeIndex } from '@/lib/judgement/programmeIndex'
import { judgeRow } from '@/lib/store/read/judged/judgedRow'
import { row } from '@/tests/app/sampleRows'
import { found, LONG, ONE, ruled } from '@/tests/judgement/judged'
import { CUT } from '@/tests/judgement/overdueCases'
import { makeProgramme } from '@/tests/schedule/programme'

const FORECAST = {
  limit: 'cut to carrier',
  risk: 0.1,
  low: 0.05,
  high: 0.2,
  needsOpening: false,
  scoredAt: 0,
  p10: null,
  p50: null,
  p90: null,
  days: [],
}

test('a sample that proves nothing has no forecast, and one in question still has', () => {
  const open = [CUT, found('2026-10-30T11:00:00Z')]
  const [inQuestion, ruledOut] = [open, [...open, ruled('2026-10-30T11:30:00Z', 'cut again')]].map((said) => {
    const programme = makeProgramme('2026-10-30T12:00:00Z', [[ONE, said]], { register: LONG })
    return judgeRow(row({ code: ONE.code, forecast: FORECAST }), new ProgrammeIndex(programme))
  })
  expect(inQuestion).toMatchObject({ judgement: { fitness: 'in question' }, forecast: { risk: 0.1 } })
  expect(ruledOut).toMatchObject({ judgement: { fitness: 'unfit' }, forecast: null })
})
