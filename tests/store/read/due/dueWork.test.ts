import { beforeAll, describe, expect, test } from 'vitest'
import { UNRESTRICTED } from '@/lib/custody/event'
import { listEntries, Register } from '@/lib/custody/register'
import { DAY } from '@/lib/hold/zone'
import { OVERDUE_KINDS, type Overdue } from '@/lib/judgement/overdueKinds'
import type { Scope } from '@/lib/policy/scope'
import { findOwedTests, type Programme } from '@/lib/schedule/owedTests'
import { acceptEvents } from '@/lib/store/projection/acceptEvents'
import { getTransitModel } from '@/lib/store/projection/transitModelCache'
import { type DueWork, getDueWork } from '@/lib/store/read/due/dueWork'
import { recordSetAside } from '@/lib/store/read/due/setAsides'
import { getPace } from '@/lib/store/read/judged/programmeIndex'
import { readOffice, saveOffice, toOfficeCalendar } from '@/lib/store/register/office'
import { findProgrammeOverdue } from '@/tests/judgement/programmeOverdue'
import { wire } from '../../../cases/smallProgramme'
import { assessDemo } from '../../../demo/assessDemo'
import { makeDemoDatabase } from '../../../demo/demoDatabase'
import type { TestDatabase } from '../../../setup/database'

const demo = assessDemo('2026-11-25T12:00:00Z', 20_261_125)
const { now } = demo
const WHO = { who: 'person p', name: 'Wenna Ardle', address: null }
let database: TestDatabase
let programme: Programme
let whole: DueWork

beforeAll(async () => {
  const made = await makeDemoDatabase(demo)
  database = made.database
  const { app } = database
  const { document } = made
  const register = new Register(listEntries(document, Number.NEGATIVE_INFINITY))
  programme = {
    register,
    samples: demo.samples,
    pace: getPace(await getTransitModel(app, now)),
    office: toOfficeCalendar(await readOffice(app, register)),
    now,
  }
  whole = await getDueWork(app, 'all', now)
}, 120_000)

const subjects = (overdue: readonly Overdue[]) => overdue.map(({ subject }) => subject)
const some = (plants: string[], laboratories: string[] = []): Scope => ({ plants, laboratories })

describe('the work due', () => {
  test('is the same as from all samples of the programme', () => {
    expect(whole.overdue).toEqual(findProgrammeOverdue(programme))
    expect(whole.owed).toEqual(findOwedTests(programme, 92))
    expect(new Set(whole.overdue.map(({ kind }) => kind))).toEqual(new Set(OVERDUE_KINDS))
  })

  test('is limited to the plant, the laboratory or the nothing of a scope', async () => {
    const { app } = database
    const plant = whole.overdue[0]?.plant as string
    const seen = await getDueWork(app, some([plant]), now)
    expect(seen.overdue).toEqual(whole.overdue.filter((one) => one.plant === plant))
    expect(seen.owed).toEqual(whole.owed.filter((one) => one.plant === plant))
    expect([...seen.places.keys()].filter((code) => programme.register.plants.has(code))).toEqual([plant])
    const laboratory = whole.overdue[0]?.laboratory as string
    const desk = await getDueWork(app, some([], [laboratory]), now)
    expect(desk.overdue).toEqual(whole.overdue.filter((one) => one.laboratory === laboratory))
    const none = await getDueWork(app, some([]), now)
    expect([none.overdue, none.owed, none.setAside, none.places.size]).toEqual([[], [], [], 0])
  })

  test('names each protocol whose receipts tell temperatures without a range once, to those who see all', async () => {
    expect(whole.missingRanges).toEqual(['CORK'])
    const plant = whole.overdue[0]?.plant as string
    expect((await getDueWork(database.app, some([plant]), now)).missingRanges).toEqual([])
  })

  test('includes a new event immediately', async () => {
    const { app } = database
    const copy = whole.overdue.find(({ kind }) => kind === 'form copy missing') as Overdue
    const event = {
      source: 'desk',
      id: 'copy',
      sample: copy.sample,
      kind: 'form copy',
      at: '2026-11-25T10:00:00Z',
    }
    await acceptEvents(app, wire(event), UNRESTRICTED, now)
    const { overdue } = await getDueWork(app, 'all', now)
    expect(subjects(overdue)).toEqual(subjects(whole.overdue).filter((one) => one !== copy.subject))
  })
})

describe('a task that is set aside', () => {
  const late = () => whole.overdue.find(({ kind }) => kind === 'report late') as Overdue

  test('is listed apart until its time is over, with the last reason, and is in the audit log', async () => {
    const { app, owner } = database
    const untilAt = now + 5 * DAY
    await recordSetAside(app, 'all', late(), { untilAt, reason: 'the chamber is mended' }, WHO, now)
    const during = await getDueWork(app, 'all', now + DAY)
    expect(during.setAside.map(({ overdue, entry }) => [overdue.subject, entry.reason, entry.by])).toEqual([
      [late().subject, 'the chamber is mended', WHO.name],
    ])
    expect(subjects(during.overdue)).not.toContain(late().subject)
    expect(subjects((await getDueWork(app, 'all', untilAt + 1)).overdue)).toContain(late().subject)
    // A shorter one takes the place of the first, also when it has run out.
    await recordSetAside(app, 'all', late(), { untilAt: now + DAY, reason: 'sooner' }, WHO, now + 1)
    expect((await getDueWork(app, 'all', now + 2 * DAY)).setAside).toEqual([])
    const { rows } = await owner.query(
      `select subject, who from audit_entry where what = 'left something aside'`,
    )
    expect(rows).toEqual(Array.from({ length: 2 }, () => ({ subject: late().sample, who: WHO.who })))
  })

  test('cannot be set aside by a scope that does not see it', async () => {
    const { app } = database
    const other = [...programme.register.plants.keys()].find((code) => code !== late().plant) as string
    const attempt = recordSetAside(app, some([other]), late(), { untilAt: now + DAY, reason: 'x' }, WHO, now)
    await expect(attempt).rejects.toThrow('row-level security')
    await recordSetAside(
      app,
      some([late().plant]),
      late(),
      { untilAt: now + DAY, reason: 'mine' },
      WHO,
      now + 2,
    )
    expect((await getDueWork(app, some([other]), now)).setAside).toEqual([])
  })
})

test('the office calendar moves the programme’s own steps', async () => {
  const { app } = database
  const before = whole.overdue.find(({ kind }) => kind === 'kit not posted') as Overdue
  const office = { zone: 'Pacific/Kiritimati', weekdays: [1, 2, 3, 4, 5], closed: [] }
  await saveOffice(app, office, WHO, now)
  const after = (await getDueWork(app, 'all', now)).overdue.find(({ subject }) => subject === before.subject)
  expect(after?.zone).toBe(office.zone)
  // Its day ends fourteen hours before that of UTC.
  expect(after?.sinceAt).toBeLessThan(before.sinceAt)
  expect(await readOffice(app, programme.register)).toEqual(office)
})
