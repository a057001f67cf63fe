import { expect, test } from 'vitest'
import { formatKitCode } from '@/lib/custody/kitCode'
import { describeActs, describeOverdue, describeOverdueAct, getActorName } from '@/lib/judgement/dueText'
import { OVERDUE_KINDS, type Overdue, type OverdueKind } from '@/lib/judgement/overdueKinds'
import { english } from '@/lib/messages/english'
import { findOwedTests } from '@/lib/schedule/owedTests'
import { findProgrammeOverdue } from '@/tests/judgement/programmeOverdue'
import { makeOverdue } from '../judgement/overdueCases'
import { type EventInput, kit, makeProgramme } from '../schedule/programme'

const ONE = kit('AAAA222')
const CUT: EventInput = ['collected', '2026-10-30T10:00:00Z']
const NAMES = {
  places: new Map([['CORK', 'The mill at Cork']]),
  products: new Map([['TILE', 'Loop tile']]),
}

const asked = (now: string, ...said: EventInput[]) =>
  findProgrammeOverdue(makeProgramme(now, [[ONE, said]])).map((one) => describeOverdue(english, one, NAMES))

test('something overdue is named by its kit code, or by its product if it has no kit', () => {
  expect(asked('2026-11-03T00:00:00Z')).toEqual([
    { act: `Cut AAAA-222${ONE.code.slice(7)}`, why: 'The day for it has passed.' },
  ])
  expect(
    findProgrammeOverdue(makeProgramme('2026-11-03T00:00:00Z', [])).map(
      (one) => describeOverdue(english, one, NAMES).act,
    ),
  ).toEqual(['Issue a kit for Loop tile'])
})

test.each(OVERDUE_KINDS)('“%s” asks for something of its kit or product, and says why', (kind) => {
  const overdue = makeOverdue(kind)
  const { why } = describeOverdue(english, overdue, NAMES)
  const act = describeOverdueAct(english, 'text', overdue, NAMES, ['the mill'])
  expect(act).toMatch(/^[A-Z][a-z]+ [a-z]*/)
  expect(act).toContain(`${overdue.sample === null ? 'Loop tile' : formatKitCode(overdue.sample)} (the mill)`)
  expect(why).toMatch(/^[A-Z].*[^.]\.$/)
})

test('a sample to be cut again comes with the reason', () => {
  expect(asked('2026-11-20T00:00:00Z', CUT, ['lost', '2026-11-01T10:00:00Z'])).toEqual([
    { act: `Issue a kit to replace AAAA-222${ONE.code.slice(7)}`, why: expect.stringMatching(/limit|lost/) },
  ])
})

test('acts of one day are one sentence, and each has its actor', () => {
  const [owed] = findOwedTests(makeProgramme('2026-10-02T00:00:00Z', [[ONE, []]]), 92)
  if (!owed) throw new Error('A test is owed.')
  const code = `AAAA-222${ONE.code.slice(7)}`
  expect(describeActs(english, ['cut', 'hand over'], owed, NAMES)).toBe(
    `Cut ${code} and hand it to the carrier`,
  )
  expect(describeActs(english, ['report'], { ...owed, kit: null }, NAMES)).toBe(
    'Issue the report on Loop tile',
  )
  expect(owed.acts.map(({ actor }) => getActorName(english, actor, NAMES))).toEqual([
    'the programme',
    'The mill at Cork',
    'The mill at Cork',
    'NORTH',
    'NORTH',
    'NORTH',
    'NORTH',
  ])
})

test('what is overdue has the words of its act, on pages and in mails', () => {
  const code = formatKitCode(ONE.code)
  const words = (kind: OverdueKind, more: Partial<Overdue>) =>
    (['text', 'recordText'] as const).map((form) =>
      describeOverdueAct(english, form, { ...makeOverdue(kind), ...more }, NAMES),
    )
  expect(words('not loaded in time', { act: 'condition it' })).toEqual([
    `Begin the conditioning of ${code}`,
    `Begin the conditioning of ${code} and record it`,
  ])
  const { code: spare } = kit('BBBB333')
  const replaced = `Replace ${code} with the spare kit ${formatKitCode(spare)}`
  expect(words('lapsed with no re-collection', { spare })).toEqual([replaced, replaced])
})
