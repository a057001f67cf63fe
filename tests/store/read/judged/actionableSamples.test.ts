import type pg from 'pg'
import { beforeAll, describe, expect, test } from 'vitest'
import { UNRESTRICTED } from '@/lib/custody/event'
import { placeEvents } from '@/lib/custody/placing'
import { listEntries, Register, toKit } from '@/lib/custody/register'
import type { RegisterDocument } from '@/lib/custody/registerDocument'
import { deriveSample, type Sample } from '@/lib/custody/sample'
import { judgeAll } from '@/lib/judgement/judgeAll'
import { OVERDUE_KINDS } from '@/lib/judgement/overdueKinds'
import { ProgrammeIndex } from '@/lib/judgement/programmeIndex'
import { applyJudgements } from '@/lib/judgement/testActs'
import { findOpenTests } from '@/lib/schedule/occurrences'
import { findOwedTests, type Programme } from '@/lib/schedule/owedTests'
import { getRegister } from '@/lib/store/ledger/currentRegister'
import { declareEventQuery } from '@/lib/store/ledger/eventLedger'
import { acceptEvents } from '@/lib/store/projection/acceptEvents'
import { readLedgerEvent } from '@/lib/store/projection/placeLedgerEvents'
import { getTransitModel } from '@/lib/store/projection/transitModelCache'
import { getDueWork } from '@/lib/store/read/due/dueWork'
import { findActionableSamples } from '@/lib/store/read/judged/actionableSamples'
import { getPace } from '@/lib/store/read/judged/programmeIndex'
import { readActionableSamples } from '@/lib/store/read/judged/sampleCache'
import { readOffice, toOfficeCalendar } from '@/lib/store/register/office'
import { withScope } from '@/lib/store/scope/scope'
import { findProgrammeOverdue } from '@/tests/judgement/programmeOverdue'
import { DUE_NOW, fillDueProgramme } from '../../../bench/dueProgramme'
import { wire } from '../../../cases/smallProgramme'
import { makeTestDatabase, type TestDatabase } from '../../../setup/database'

/** Six years of kits, of which a quarter of a year is open. */
const SIZE = { samples: 6_000, open: 250 }
const PLANT = 'P105'
let database: TestDatabase
let document: RegisterDocument

beforeAll(async () => {
  database = await makeTestDatabase()
  document = await fillDueProgramme(database, SIZE)
})

/** What asks, of some plants or of all, and how the database finds it. */
function asking(plants: readonly string[] | null) {
  return withScope(database.app, 'all', async (client) => {
    const tests = findOpenTests(await getRegister(database.app, client), plants, DUE_NOW)
    let plan = ''
    const explaining = {
      query: async (sql: string, values: unknown[]) => {
        const { rows } = await client.query(`explain ${sql}`, values)
        plan = rows.map((row) => row['QUERY PLAN']).join('\n')
        return client.query(sql, values)
      },
    }
    const found = await findActionableSamples(explaining as unknown as pg.ClientBase, plants, tests, DUE_NOW)
    return { codes: found.map(({ code }) => code), plan }
  })
}

/** Every sample by the pure library alone, from the whole ledger. */
async function wholeProgramme(now: number): Promise<Programme> {
  const { app } = database
  const register = new Register(listEntries(document, Number.NEGATIVE_INFINITY))
  const kits = new Map(document.kits.map((content) => [content.code, toKit(content)]))
  const events = await withScope(app, 'all', (client) => declareEventQuery('order by seq')(client))
  const read = events.map((event) => readLedgerEvent(event, register))
  const { bySample } = placeEvents(read, (code) => kits.has(code), now)
  return {
    register,
    samples: [...kits.values()].map((kit) => deriveSample(kit, bySample.get(kit.code) ?? [], register, now)),
    pace: getPace(await getTransitModel(app, now)),
    office: toOfficeCalendar(await withScope(app, 'all', (client) => readOffice(client, register))),
    now,
  }
}

describe('a programme of six years', () => {
  test('has its actionable samples found by indexes', async () => {
    const { codes } = await asking(null)
    expect(codes.length).toBeGreaterThanOrEqual(SIZE.open)
    expect(codes.length).toBeLessThan(SIZE.samples / 5)
    const { plan } = await asking([PLANT])
    for (const index of [
      'sample_unfinished',
      'sample_failed',
      'sample_unruled',
      'sample_replacing',
      'sample_made_issued_at_idx',
      'sample_proved',
      'sample_out_of_order',
      'sample_replaced_by',
    ])
      expect(plan).toContain(index)
    expect(plan).not.toMatch(/Seq Scan on sample/)
  })

  test('has only the samples of one plant read for its scope', async () => {
    const all = new Set((await asking(null)).codes)
    const { codes } = await asking([PLANT])
    const theirs = new Set(document.kits.filter(({ plant }) => plant === PLANT).map(({ code }) => code))
    expect(codes.length).toBeGreaterThan(0)
    expect(codes.every((code) => theirs.has(code))).toBe(true)
    expect([...all].filter((code) => theirs.has(code)).sort()).toEqual([...codes].sort())
  })

  test('has the same due and overdue as from all samples, at several times, for everyone and for each plant', async () => {
    const { app } = database
    for (const now of [DUE_NOW, DUE_NOW + 20 * 86_400_000]) {
      const whole = await wholeProgramme(now)
      const work = await getDueWork(app, 'all', now)
      expect(work.overdue).toEqual(findProgrammeOverdue(whole))
      expect(work.owed).toEqual(
        applyJudgements(findOwedTests(whole, 92), judgeAll(new ProgrammeIndex(whole)), now),
      )
      expect(new Set(work.overdue.map(({ kind }) => kind)).size).toBeGreaterThan(OVERDUE_KINDS.length / 3)
      for (const plant of ['P000', PLANT, 'P017', 'P299']) {
        const seen = await getDueWork(app, { plants: [plant], laboratories: [] }, now)
        expect(seen.overdue).toEqual(work.overdue.filter((one) => one.plant === plant))
        expect(seen.owed).toEqual(work.owed.filter((one) => one.plant === plant))
      }
    }
  })

  test('has only the sample of a new event read again', async () => {
    const { app } = database
    const read = () =>
      withScope(app, 'all', async (client) =>
        readActionableSamples(app, client, await getRegister(app, client), null, DUE_NOW),
      )
    const before = await read()
    const [first] = before.filter(({ history }) => history.stage === 'loaded')
    const sample = first?.kit.code as string
    const said = { source: 'desk', id: 'odd', sample, kind: 'deviation', at: '2026-02-19T10:00:00Z' }
    await acceptEvents(app, wire({ ...said, facts: { what: 'The bag is torn.' } }), UNRESTRICTED, DUE_NOW)
    const after = await read()
    const known = new Set(before)
    const readAgain = after.filter((one) => !known.has(one))
    const [changed, ...others] = [...readAgain].sort((a) => (a.kit.code === sample ? -1 : 1))
    expect(changed?.kit.code).toBe(sample)
    // And the last reported one of its product, which could make up for it.
    expect(others.map(({ product, history }) => [product, history.stage])).toEqual([
      [changed?.product, 'reported'],
    ])
    const { judged } = await getDueWork(app, 'all', DUE_NOW)
    const acts = judged.find((one) => one.sample === sample)?.judgement.acts ?? []
    expect(acts.map(({ act }) => act)).toContain('rule on it')
  })

  test('finds what was reported before it was loaded, and what names another as its replacement', async () => {
    const { app, owner } = database
    const find = () =>
      withScope(app, 'all', async (client) =>
        readActionableSamples(app, client, await getRegister(app, client), null, DUE_NOW),
      )
    const before = await find()
    const loaded = before.find(
      ({ history, endedAt }) => history.stage === 'loaded' && endedAt === null,
    ) as Sample
    const open = before.find(({ history }) => history.stage === 'collected') as Sample
    const { rows } = await owner.query(
      `select code from sample where plant = $1 and stage = 'reported' and failed_at is null and not is_unruled
         and replaced_by is null and not code = any($2) order by code limit 1`,
      [open.kit.plant, before.map(({ kit }) => kit.code)],
    )
    const [{ code }] = rows as [{ code: string }]
    const at = '2026-02-19T10:00:00Z'
    const { latestAt } = loaded.history.milestones.get('loaded') as { latestAt: number }
    const early = new Date(latestAt - 86_400_000).toISOString()
    const events = [
      { source: 'desk', id: 'too soon', sample: loaded.kit.code, kind: 'reported', at: early },
      { source: 'desk', id: 'instead', sample: code, kind: 'replaced by', at, facts: { kit: open.kit.code } },
    ]
    for (const event of events) await acceptEvents(app, wire(event), UNRESTRICTED, DUE_NOW)
    const found = (await find()).map(({ kit }) => kit.code)
    expect(found).toContain(loaded.kit.code)
    expect(found).toContain(code)
  })

  test('loses nothing to a call as of another time', async () => {
    const { app } = database
    const register = await withScope(app, 'all', (client) => getRegister(app, client))
    const codesAt = (now: number, meanwhile = async () => {}) =>
      withScope(app, 'all', async (client) => {
        let count = 0
        const between = {
          query: async (sql: string, values: unknown[]) => {
            count += 1
            if (count === 2) await meanwhile()
            return client.query(sql, values)
          },
        }
        const read = await readActionableSamples(
          app,
          between as unknown as pg.ClientBase,
          register,
          null,
          now,
        )
        return read.map(({ kit }) => kit.code)
      })
    const whole = await codesAt(DUE_NOW)
    const said = { source: 'desk', id: 'odd too', kind: 'deviation', at: '2026-02-19T10:00:00Z' }
    const sample = whole[0] as string
    await acceptEvents(app, wire({ ...said, sample, facts: { what: 'Torn.' } }), UNRESTRICTED, DUE_NOW)
    let other: string[] = []
    const found = await codesAt(DUE_NOW, async () => {
      other = await codesAt(DUE_NOW - 3_650 * 86_400_000)
    })
    expect(whole.filter((code) => !other.includes(code)).length).toBeGreaterThan(0)
    expect(found).toEqual(whole)
  })
})
