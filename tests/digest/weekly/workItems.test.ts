import { describe, expect, test } from 'vitest'
import { createDateFormat } from '@/lib/digest/weekly/dateFormat'
import { buildDigest } from '@/lib/digest/weekly/digest'
import { describeItem } from '@/lib/digest/weekly/itemText'
import { toWorkItems } from '@/lib/digest/weekly/workItems'
import { judgeAll } from '@/lib/judgement/judgeAll'
import { findOverdue } from '@/lib/judgement/overdue'
import { ProgrammeIndex } from '@/lib/judgement/programmeIndex'
import { applyJudgements } from '@/lib/judgement/testActs'
import { english } from '@/lib/messages/english'
import type { DigestPerson } from '@/lib/store/people/digestPeople'
import { CUT, DEVIATION, ONE, registerWithLimit, SAFE } from '../../judgement/overdueCases'
import { type EventInput, kit, makeProgramme } from '../../schedule/programme'
import { createDigestPerson } from '../digestPerson'

const OFFICE = createDigestPerson({ isAdministrator: true })
const PLANT = createDigestPerson({ plants: ['CORK'] })
const DESK = createDigestPerson({ laboratories: ['NORTH'] })
const NAMES = { places: new Map<string, string>(), products: new Map<string, string>() }

/** What is someone’s to do, and what is coming, by the weekly mail. */
function read(now: string, said: readonly EventInput[], person: DigestPerson, of = ONE) {
  const programme = makeProgramme(now, [[of, said]], { register: registerWithLimit('cut to carrier', 168) })
  const index = new ProgrammeIndex(programme)
  const judged = judgeAll(index)
  const work = {
    asOf: programme.now,
    owed: applyJudgements(index.owed, judged, programme.now),
    overdue: findOverdue(index, judged),
    judged: judged.filter(({ judgement }) => judgement.acts.length > 0),
  }
  const digest = buildDigest({
    week: '2026-W45',
    asOf: programme.now,
    person,
    carried: [],
    work: { items: toWorkItems(work, new Map()), names: NAMES, zones: new Map(), setAside: new Set() },
    last: null,
    seesAll: person.isAdministrator,
    administratorReport: null,
  })
  const context = {
    names: NAMES,
    zones: new Map<string, string>(),
    dates: createDateFormat(english, 'en-GB', { zone: 'UTC', asOf: programme.now }),
    reader: person,
    showsPlant: false,
  }
  const describeAll = (items: typeof toDo) =>
    items.map((item) => {
      const { act, why } = describeItem(english, item, context)
      return `${act.replace(/ \(.*?\)/, '').replace(/[0-9A-Z]{4}-[0-9A-Z]{4}/, 'it')}. ${why ?? ''}`.trim()
    })
  const toDo = digest?.toDo ?? []
  return { toDo: describeAll(toDo), upcoming: describeAll(digest?.upcoming ?? []) }
}

const FOUND = 'Found: bag leaking.'
const AT_RECEIPT: EventInput[] = [...SAFE, ['received', '2026-11-02T14:00:00Z'], DEVIATION]

describe('a sample on which something was found', () => {
  test('is the administrator’s to rule on, and says what was found and what not to do', () => {
    const { toDo } = read('2026-11-02T16:00:00Z', AT_RECEIPT, OFFICE)
    expect(toDo).toEqual([
      `Rule on what was found on it. ${FOUND} Do not load it before the programme has ruled.`,
    ])
  })

  test('waits at the plant and at the laboratory, and no plan asks to go on with it', () => {
    const waits = `Wait for the ruling on it. ${FOUND}`
    // A plant loads nothing.
    expect(read('2026-11-02T16:00:00Z', AT_RECEIPT, PLANT)).toEqual({ toDo: [waits], upcoming: [] })
    expect(read('2026-11-02T16:00:00Z', AT_RECEIPT, DESK)).toEqual({
      toDo: [`${waits} Do not load it before the programme has ruled.`],
      upcoming: [],
    })
  })

  test('is to be loaded, and its report held, where no ruling can come before the last useful loading', () => {
    // Found on Friday evening in New York, when it is Saturday at the office, with the last useful loading that night.
    const late: EventInput[] = [
      ['collected', '2026-10-30T10:00:00Z'],
      ['dispatched', '2026-10-30T13:00:00Z', { service: 'air' }],
      ['form copy', '2026-10-30T13:30:00Z'],
      ['received', '2026-11-03T15:00:00Z'],
      ['deviation', '2026-11-06T23:00:00Z', { id: 'd', facts: { what: 'bag leaking' } }],
    ]
    const { toDo } = read('2026-11-06T23:30:00Z', late, DESK)
    expect(toDo).toContain(`Load it, record it, and hold its report. ${FOUND}`)
  })

  test('is not to be loaded, which is said to the desk while the sample is under way', () => {
    const { toDo } = read('2026-10-30T16:00:00Z', [...SAFE, deviationAt('2026-10-30T15:00:00Z')], DESK)
    expect(toDo).toEqual([`Do not load it. ${FOUND} Do not load it before the programme has ruled.`])
  })

  test('is not to be sent while it lies at the plant', () => {
    const { toDo, upcoming } = read('2026-10-31T12:00:00Z', [CUT, deviationAt('2026-10-30T15:00:00Z')], PLANT)
    expect(toDo).toEqual([
      `Wait for the ruling on it. ${FOUND} Do not send it before the programme has ruled.`,
    ])
    expect(upcoming).toEqual([])
  })
})

const deviationAt = (at: string): EventInput => ['deviation', at, { id: 'd', facts: { what: 'bag leaking' } }]

test('a lapsed sample asks for its replacement, and a retained one for nothing', () => {
  const said: EventInput[] = [...SAFE, ['received', '2026-11-03T15:00:00Z']]
  const first = read('2026-11-08T12:00:00Z', said, OFFICE)
  expect(first.toDo).toEqual([
    'Issue a kit to replace it. Its hold limit ended on Sat 7 November (Paris). Do not load it: keep or discard it by the site’s rules.',
  ])
  expect(read('2026-11-08T12:00:00Z', said, DESK).toDo).toEqual([
    'Do not load it. Its hold limit has ended. Do not load it: keep or discard it by the site’s rules.',
  ])
  const retained = kit('BBBB333', { purpose: 'retained' })
  const toDo = [OFFICE, PLANT, DESK].map(
    (person) => read('2026-11-08T12:00:00Z', said, person, retained).toDo,
  )
  expect(toDo).toEqual([['Issue a kit for TILE. No kit has been issued for its test.'], [], []])
})
