import { beforeAll, describe, expect, test } from 'vitest'
import { UNRESTRICTED } from '@/lib/custody/event'
import { entriesOf, Register } from '@/lib/custody/register'
import { DAY } from '@/lib/hold/zone'
import type { Scope } from '@/lib/policy/scope'
import { overdueOf } from '@/lib/schedule/overdue'
import { OVERDUE_KINDS, type Overdue } from '@/lib/schedule/overdueKinds'
import { owedOf, type Programme } from '@/lib/schedule/owed'
import { acceptEvents } from '@/lib/store/projection/acceptEvents'
import { laneRecord } from '@/lib/store/projection/laneRecord'
import { type DueWork, dueWork, paceOf } from '@/lib/store/read/due/dueWork'
import { enterSnooze } from '@/lib/store/read/due/snoozes'
import { enterOffice, officeDays, officeOf } from '@/lib/store/register/office'
import { wire } from '../../../cases/smallProgramme'
import { assessedDemo } from '../../../demo/assessedDemo'
import { demoDatabase } from '../../../demo/demoDatabase'
import type { TestDatabase } from '../../../setup/database'

const demo = assessedDemo('2026-11-25T12:00:00Z', 20_261_125)
const { now } = demo
const WHO = { who: 'person p', name: 'Wenna Ardle', address: null }
let database: TestDatabase
let programme: Programme
let whole: DueWork

beforeAll(async () => {
  const made = await demoDatabase(demo)
  database = made.database
  const { app } = database
  const { document } = made
  const register = new Register(entriesOf(document, Number.NEGATIVE_INFINITY))
  programme = {
    register,
    samples: demo.samples,
    pace: paceOf(await laneRecord(app, now)),
    office: officeDays(await officeOf(app, register)),
    now,
  }
  whole = await dueWork(app, 'all', now)
}, 120_000)

const subjects = (overdue: readonly Overdue[]) => overdue.map(({ subject }) => subject)
const some = (plants: string[], laboratories: string[] = []): Scope => ({ plants, laboratories })

describe('what is due, read from the database', () => {
  test('is what every sample of the programme gives, though only those that can matter are read', () => {
    expect(whole.pressing).toEqual(overdueOf(programme))
    expect(whole.owed).toEqual(owedOf(programme, 92))
    expect(new Set(whole.pressing.map(({ kind }) => kind))).toEqual(new Set(OVERDUE_KINDS))
  })

  test('is to a plant’s contact their plant’s, to a desk what is for it, to one of nothing nothing', async () => {
    const { app } = database
    const plant = whole.pressing[0]?.plant as string
    const seen = await dueWork(app, some([plant]), now)
    expect(seen.pressing).toEqual(whole.pressing.filter((one) => one.plant === plant))
    expect(seen.owed).toEqual(whole.owed.filter((one) => one.plant === plant))
    expect([...seen.places.keys()].filter((code) => programme.register.plants.has(code))).toEqual([plant])
    const laboratory = whole.pressing[0]?.laboratory as string
    const desk = await dueWork(app, some([], [laboratory]), now)
    expect(desk.pressing).toEqual(whole.pressing.filter((one) => one.laboratory === laboratory))
    const none = await dueWork(app, some([]), now)
    expect([none.pressing, none.owed, none.aside, none.places.size]).toEqual([[], [], [], 0])
  })

  test('follows an event at once', async () => {
    const { app } = database
    const copy = whole.pressing.find(({ kind }) => kind === 'form copy missing') as Overdue
    const event = {
      source: 'desk',
      id: 'copy',
      sample: copy.sample,
      kind: 'form copy',
      at: '2026-11-25T10:00:00Z',
    }
    await acceptEvents(app, wire(event), UNRESTRICTED, now)
    const { pressing } = await dueWork(app, 'all', now)
    expect(subjects(pressing)).toEqual(subjects(whole.pressing).filter((one) => one !== copy.subject))
  })
})

describe('something left aside', () => {
  const late = () => whole.pressing.find(({ kind }) => kind === 'report late') as Overdue

  test('is told apart until its time is over, by the last who left it aside, and is on record', async () => {
    const { app, owner } = database
    const untilAt = now + 5 * DAY
    await enterSnooze(app, 'all', late(), { untilAt, reason: 'the chamber is mended' }, WHO, now)
    const during = await dueWork(app, 'all', now + DAY)
    expect(during.aside.map(({ overdue, snooze }) => [overdue.subject, snooze.reason, snooze.by])).toEqual([
      [late().subject, 'the chamber is mended', WHO.name],
    ])
    expect(subjects(during.pressing)).not.toContain(late().subject)
    expect(subjects((await dueWork(app, 'all', untilAt + 1)).pressing)).toContain(late().subject)
    // A shorter one takes the place of the first, also when it has run out.
    await enterSnooze(app, 'all', late(), { untilAt: now + DAY, reason: 'sooner' }, WHO, now + 1)
    expect((await dueWork(app, 'all', now + 2 * DAY)).aside).toEqual([])
    const { rows } = await owner.query(
      `select subject, who from audit_entry where what = 'left something aside'`,
    )
    expect(rows).toEqual(Array.from({ length: 2 }, () => ({ subject: late().sample, who: WHO.who })))
  })

  test('is nobody’s to leave aside who does not see it', async () => {
    const { app } = database
    const other = [...programme.register.plants.keys()].find((code) => code !== late().plant) as string
    const attempt = enterSnooze(app, some([other]), late(), { untilAt: now + DAY, reason: 'x' }, WHO, now)
    await expect(attempt).rejects.toThrow('row-level security')
    await enterSnooze(app, some([late().plant]), late(), { untilAt: now + DAY, reason: 'mine' }, WHO, now + 2)
    expect((await dueWork(app, some([other]), now)).aside).toEqual([])
  })
})

test('the office’s own days move what it is to do', async () => {
  const { app } = database
  const before = whole.pressing.find(({ kind }) => kind === 'kit not posted') as Overdue
  const office = { zone: 'Pacific/Kiritimati', weekdays: [1, 2, 3, 4, 5], closed: [] }
  await enterOffice(app, office, WHO, now)
  const after = (await dueWork(app, 'all', now)).pressing.find(({ subject }) => subject === before.subject)
  expect(after?.zone).toBe(office.zone)
  // Its day ends fourteen hours before that of UTC.
  expect(after?.sinceAt).toBeLessThan(before.sinceAt)
  expect(await officeOf(app, programme.register)).toEqual(office)
})
