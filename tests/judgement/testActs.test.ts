import { expect, test } from 'vitest'
import { judgeAll } from '@/lib/judgement/judgeAll'
import { ProgrammeIndex } from '@/lib/judgement/programmeIndex'
import { applyJudgements } from '@/lib/judgement/testActs'
import { findOwedTests, listDueLines } from '@/lib/schedule/owedTests'
import { iso, ms } from '../custody/desk'
import { type EventInput, kit, makeProgramme } from '../schedule/programme'
import { CUT, DEVIATION, LEFT, registerWithLimit } from './overdueCases'

const ONE = kit('AAAA222')

/** What the test of one kit asks for, once its sample is judged. */
function lines(now: string, said: EventInput[], register = registerWithLimit('cut to carrier', 168)) {
  const programme = makeProgramme(now, [[ONE, said]], { register })
  const owed = applyJudgements(
    findOwedTests(programme, 0),
    judgeAll(new ProgrammeIndex(programme)),
    programme.now,
  )
  return listDueLines(owed, ms(now)).map(({ acts, dueAt, owed: { kit: of } }) => [
    acts.join(' and '),
    iso(dueAt),
    of,
  ])
}

const FOUND: EventInput = ['deviation', '2026-10-30T10:30:00Z', { id: 'd', facts: { what: 'bag leaking' } }]
const REPORT = ['report', '2026-12-01T04:59:59.999Z', null]

test.each([
  ['cut', '2026-10-30T12:00:00Z', [CUT, FOUND]],
  ['under way', '2026-10-30T15:00:00Z', [CUT, LEFT, FOUND]],
  ['received', '2026-11-02T16:00:00Z', [CUT, LEFT, DEVIATION, ['received', '2026-11-02T14:00:00Z']]],
  [
    'in the chamber',
    '2026-11-03T16:00:00Z',
    [CUT, LEFT, DEVIATION, ['received', '2026-11-02T14:00:00Z'], ['loaded', '2026-11-03T14:00:00Z']],
  ],
] as const)(
  'nobody is asked by the plan to go on with a sample that waits for a ruling: %s',
  (_, now, said) => {
    expect(lines(now, said as unknown as EventInput[])).toEqual([REPORT])
  },
)

test('once it may be used, its acts are due again: the hand-over by the next pickup', () => {
  const ruled: EventInput = [
    'ruling',
    '2026-10-30T12:00:00Z',
    { facts: { on: 'desk/d', ruling: 'use', reason: 'tape' } },
  ]
  expect(lines('2026-10-30T12:30:00Z', [CUT, FOUND, ruled])[0]).toEqual([
    'hand over',
    '2026-11-02T16:30:00.000Z',
    ONE.code,
  ])
})

test('an act is due as soon as a limit of its sample asks: a hand-over by the last pickup before it ends', () => {
  expect(lines('2026-10-30T12:00:00Z', [CUT], registerWithLimit('cut to carrier', 24))[0]).toEqual([
    'hand over',
    '2026-10-30T14:00:00.000Z',
    ONE.code,
  ])
})
