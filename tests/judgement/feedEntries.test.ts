import { describe, expect, test } from 'vitest'
import { formatKitCode } from '@/lib/custody/kitCode'
import { formatIsoDate } from '@/lib/hold/zone'
import { buildFeedEntries } from '@/lib/judgement/feedEntries'
import { judgeAll } from '@/lib/judgement/judgeAll'
import { findOverdue } from '@/lib/judgement/overdue'
import { ProgrammeIndex } from '@/lib/judgement/programmeIndex'
import { applyJudgements } from '@/lib/judgement/testActs'
import { english } from '@/lib/messages/english'
import { type EventInput, kit, makeProgramme } from '../schedule/programme'

const NAMES = {
  places: new Map([
    ['CORK', 'The mill at Cork'],
    ['NORTH', 'North laboratory'],
  ]),
  products: new Map([['TILE', 'Loop tile']]),
}
const ONE = kit('AAAA222')
const CODE = `AAAA-222${ONE.code.slice(7)}`

function entries(now: string, plant = 'CORK', ...said: EventInput[]) {
  return entriesOf(now, plant, [[ONE, said]])
}

function entriesOf(now: string, plant: string, said: Parameters<typeof makeProgramme>[1]) {
  const programme = makeProgramme(now, said)
  const index = new ProgrammeIndex(programme, new Map(), 92)
  const judged = judgeAll(index)
  const work = {
    owed: applyJudgements(index.owed, judged, programme.now),
    overdue: findOverdue(index, judged),
    setAside: [],
    judged,
    zones: new Map([
      ['CORK', 'Europe/Lisbon'],
      ['NORTH', 'America/New_York'],
    ]),
    ...NAMES,
  }
  return buildFeedEntries(english, work, plant, 'Europe/Lisbon', programme.now)
}
const shown = (...of: Parameters<typeof entries>) =>
  entries(...of).map(({ day, summary, path }) => [formatIsoDate(day), summary, path])

const AT_LABORATORY = [
  ['2026-11-05', `North laboratory: Record the receipt of ${CODE}`, `/samples/${ONE.code}`],
  ['2026-11-06', `North laboratory: Load ${CODE}`, `/samples/${ONE.code}`],
  ['2026-11-20', `North laboratory: End the test of ${CODE}`, `/samples/${ONE.code}`],
  ['2026-11-30', `North laboratory: Issue the report on ${CODE}`, `/samples/${ONE.code}`],
]

test('an entry is on the local day of its actor, and only other actors are named', () => {
  expect(shown('2026-10-20T00:00:00Z')).toEqual([
    ['2026-11-02', `Cut ${CODE} and hand it to the carrier`, `/samples/${ONE.code}#record`],
    ...AT_LABORATORY,
  ])
})

test('an overdue entry moves along with today', () => {
  const overdue = `Overdue: Cut ${CODE}`
  const path = `/samples/${ONE.code}?record=collected#record`
  expect(shown('2026-11-03T10:00:00Z')).toEqual([['2026-11-03', overdue, path], ...AT_LABORATORY])
  expect(shown('2026-11-04T10:00:00Z')).toEqual([['2026-11-04', overdue, path], ...AT_LABORATORY])
  expect(entries('2026-11-03T10:00:00Z')[0]?.key).toBe(entries('2026-11-04T10:00:00Z')[0]?.key)
  expect(entries('2026-11-03T10:00:00Z')[0]?.description).toBe(
    [
      `Cut ${CODE}. The day for it has passed.`,
      'Overdue since 2026-11-02 (Europe/Lisbon).',
      'Product: Loop tile.',
      'Responsible: The mill at Cork.',
      'Before cutting: sharp blades, moving lines, heavy rolls and natural latex gloves can hurt. Follow the site’s own safety rules; Holdfast does not replace them.',
    ].join('\n'),
  )
})

test('an entry overdue with others links to its status, not to their form', () => {
  const delivered: EventInput = ['delivered', '2026-11-03T15:00:00Z']
  const said: EventInput[] = [
    ['collected', '2026-11-02T09:00:00Z'],
    ['dispatched', '2026-11-02T15:00:00Z'],
    delivered,
  ]
  const overdue = entries('2026-11-05T10:00:00Z', 'CORK', ...said).filter(({ key }) =>
    key.startsWith('overdue/'),
  )
  expect(overdue.map(({ summary, path }) => [summary, path])).toEqual([
    [`Overdue with North laboratory: Record the receipt of ${CODE}`, `/samples/${ONE.code}`],
    [`Overdue: Send a copy of the form for ${CODE}`, `/samples/${ONE.code}?record=form+copy#record`],
  ])
})

test('an entry keeps its key when part of it is done', () => {
  const before = entries('2026-10-30T09:00:00Z')
  const after = entries('2026-10-30T12:00:00Z', 'CORK', ['collected', '2026-10-30T10:00:00Z'])
  expect(after.map(({ key }) => key)).toEqual(before.map(({ key }) => key))
  expect(after[0]?.summary).toBe(`Hand ${CODE} to the carrier`)
})

test('no two entries share a key, and another plant’s calendar has none of them', () => {
  const keys = entries('2026-11-03T10:00:00Z').map(({ key }) => key)
  expect(new Set(keys).size).toBe(keys.length)
  expect(entries('2026-11-03T10:00:00Z', 'ELSEWHERE')).toEqual([])
})

describe('a sample on which something was found', () => {
  const found: EventInput = ['deviation', '2026-11-02T14:00:00Z', { id: 'd', facts: { what: 'bag leaking' } }]
  const cut: EventInput = ['collected', '2026-11-02T09:00:00Z']

  test('is not to be handed over or loaded: its ruling stands in the calendar, and the plant waits', () => {
    const all = entries('2026-11-03T08:00:00Z', 'CORK', cut, found)
    expect(all.map(({ key, summary }) => [key, summary])).toEqual([
      ['due/YEARLY/1/report', 'North laboratory: Issue the report on Loop tile'],
      [`act/${ONE.code}/rule on it`, `The programme: Rule on what was found on ${CODE}`],
      [`act/${ONE.code}/wait for the ruling`, `Wait for the ruling on ${CODE}`],
    ])
    for (const { key, description } of all.filter((one) => !one.key.startsWith('due/')))
      expect([key, description]).toEqual([
        key,
        expect.stringMatching(/Found: bag leaking\.\nDo not send it before the programme has ruled\./),
      ])
  })

  test('keeps its keys', () => {
    const keys = (now: string) => entries(now, 'CORK', cut, found).map(({ key }) => key)
    expect(keys('2026-11-03T08:00:00Z')).toEqual(keys('2026-11-03T08:30:00Z'))
  })
})

test('a lapsed sample is not to be handed over', () => {
  const summaries = shown('2026-11-05T10:00:00Z', 'CORK', ['collected', '2026-11-02T09:00:00Z']).map(
    ([, summary]) => summary,
  )
  expect(summaries).toContain(`Overdue with the programme: Issue a kit to replace ${CODE}`)
  expect(summaries.join()).not.toMatch(/(Hand|Load) AAAA/)
})

test('a spare kit at the plant is named for whoever cuts or issues', () => {
  const spare = kit('CCCC444', { product: null })
  const all = entriesOf('2026-11-05T10:00:00Z', 'CORK', [
    [ONE, [['collected', '2026-11-02T09:00:00Z']]],
    [spare, []],
  ])
  const named = formatKitCode(spare.code)
  const summaries = all.map(({ summary }) => summary)
  expect(summaries).toContain(`Overdue with the programme: Replace ${CODE} with the spare kit ${named}`)
  expect(summaries).toContain(`Cut ${CODE} again with the spare kit ${named}`)
})
