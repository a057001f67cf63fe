import { expect, test } from 'vitest'
import type { Kit } from '@/lib/custody/register'
import { findProgrammeOverdue } from '@/tests/judgement/programmeOverdue'
import { type EventInput, kit, makeProgramme } from '../schedule/programme'

const OWN = kit('AAAA222')
const SENT: EventInput[] = [
  ['collected', '2026-10-30T10:00:00Z'],
  ['dispatched', '2026-10-30T13:00:00Z', { service: 'air' }],
  ['form copy', '2026-10-30T13:30:00Z'],
]

test('a lapsed sample stays overdue, whatever happened to another plant’s kit that it names as its replacement', () => {
  const foreign = kit('BBBB333', { plant: 'FELT', product: null, purpose: 're-collection' })
  const named: EventInput = ['replaced by', '2026-11-07T04:00:00Z', { facts: { kit: foreign.code } }]
  const said: EventInput[] = [...SENT, ['received', '2026-11-03T15:00:00Z'], named]
  const others: (readonly (readonly [Kit, EventInput[]])[])[] = [
    [],
    [[foreign, []]],
    [[foreign, [['cancelled', '2026-11-07T02:00:00Z']]]],
  ]
  const found = others.map((them) =>
    findProgrammeOverdue(makeProgramme('2026-11-07T05:00:00Z', [[OWN, said], ...them])).filter(
      ({ sample }) => sample === OWN.code,
    ),
  )
  expect(found).toEqual([[], [], []])
})

test('a sample with another plant’s product counts for no test of that plant', () => {
  const spare = kit('BBBB333', { plant: 'FELT', product: null })
  const said: EventInput[] = [
    ['collected', '2026-10-20T10:00:00Z', { product: 'TILE' }],
    ['reported', '2026-10-21T10:00:00Z'],
  ]
  const ofCork = (of: readonly (readonly [Kit, EventInput[]])[]) =>
    findProgrammeOverdue(makeProgramme('2026-10-29T23:00:00Z', of)).filter(({ plant }) => plant === 'CORK')
  expect(ofCork([]).map(({ kind }) => kind)).toEqual(['duty with no kit'])
  expect(ofCork([[spare, said]])).toEqual(ofCork([]))
})

test('a lost sample with another plant’s product does not reveal whether that product was tested since', () => {
  const spare = kit('BBBB333', { plant: 'FELT', product: null })
  const said: EventInput[] = [
    ['collected', '2026-10-20T10:00:00Z', { product: 'TILE' }],
    ['lost', '2026-10-21T10:00:00Z'],
  ]
  const later = kit('CCCC444', { issuedAt: Date.UTC(2026, 9, 22) })
  const ofFelt = (of: readonly (readonly [Kit, EventInput[]])[]) =>
    findProgrammeOverdue(makeProgramme('2026-10-29T23:00:00Z', [[spare, said], ...of])).filter(
      ({ plant }) => plant === 'FELT',
    )
  expect(ofFelt([]).map(({ kind }) => kind)).toEqual(['lapsed with no re-collection'])
  expect(ofFelt([[later, [['reported', '2026-10-24T10:00:00Z']]]])).toEqual(ofFelt([]))
})
