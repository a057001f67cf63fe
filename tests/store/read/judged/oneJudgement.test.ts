import fc from 'fast-check'
import { beforeAll, expect, test } from 'vitest'
import { UNRESTRICTED } from '@/lib/custody/event'
import { placeEvents } from '@/lib/custody/placing'
import { listEntries, Register, toKit } from '@/lib/custody/register'
import { deriveSample } from '@/lib/custody/sample'
import { toWorkItems } from '@/lib/digest/weekly/workItems'
import { buildFeedEntries } from '@/lib/judgement/feedEntries'
import { type Judgement, judge } from '@/lib/judgement/judge'
import { findOverdue } from '@/lib/judgement/overdue'
import { ProgrammeIndex, type SampleScore } from '@/lib/judgement/programmeIndex'
import { SAMPLE_GROUPS } from '@/lib/judgement/sampleGroup'
import { compareUrgency } from '@/lib/judgement/urgency'
import { english } from '@/lib/messages/english'
import type { Scope } from '@/lib/policy/scope'
import { declareEventQuery } from '@/lib/store/ledger/eventLedger'
import { acceptEvents } from '@/lib/store/projection/acceptEvents'
import { readLedgerEvent } from '@/lib/store/projection/placeLedgerEvents'
import { rebuild } from '@/lib/store/projection/rebuild'
import { getTransitModel } from '@/lib/store/projection/transitModelCache'
import { getArrivals } from '@/lib/store/read/arrivals/arrivals'
import { getReceivingList } from '@/lib/store/read/arrivals/receivingList'
import { getBoard } from '@/lib/store/read/board'
import { type DueWork, getDueWork } from '@/lib/store/read/due/dueWork'
import { type JudgedRow, judgeSample } from '@/lib/store/read/judged/judgedRow'
import { getPace } from '@/lib/store/read/judged/programmeIndex'
import { getPlantPage } from '@/lib/store/read/plant/plantPage'
import { getSampleDossier } from '@/lib/store/read/sample/sampleDossier'
import { applyRegister } from '@/lib/store/register/changeRegister'
import { readOffice, toOfficeCalendar } from '@/lib/store/register/office'
import { withScope } from '@/lib/store/scope/scope'
import { clearLedger, derivedText } from '@/tests/cases/derivedText'
import { wire } from '@/tests/cases/smallProgramme'
import { makeTestDatabase, type TestDatabase } from '@/tests/setup/database'
import { chooseUsualOrLong } from '@/tests/setup/usualOrLong'
import { anyJudgedProgramme, type JudgedProgramme, NOW } from './anyJudgedProgramme'

const DAY = 86_400_000
let database: TestDatabase
beforeAll(async () => {
  database = await makeTestDatabase()
})

/** The judgement of every sample by the pure library alone, from the whole ledger. */
async function judgeAll({ document }: JudgedProgramme, now: number) {
  const { app } = database
  const register = new Register(listEntries(document, Number.NEGATIVE_INFINITY))
  const kits = new Map(document.kits.map((content) => [content.code, toKit(content)]))
  const events = await withScope(app, 'all', (client) => declareEventQuery('order by seq')(client))
  const read = events.map((event) => readLedgerEvent(event, register))
  const { bySample } = placeEvents(read, (code) => kits.has(code), now)
  const samples = [...kits.values()].map((kit) =>
    deriveSample(kit, bySample.get(kit.code) ?? [], register, now),
  )
  const office = toOfficeCalendar(await withScope(app, 'all', (client) => readOffice(client, register)))
  const pace = getPace(await getTransitModel(app, now))
  const scores = await settleScores(now)
  const index = new ProgrammeIndex({ register, samples, pace, office, now }, scores)
  const judgements = new Map(samples.map((sample) => [sample.kit.code, judge(sample, index)]))
  return { judgements, overdue: findOverdue(index), samples }
}

/** The scores kept in the database, once reading as of `now` does not bring about others. */
async function settleScores(now: number) {
  const read = async () => {
    await getBoard(database.app, 'all', {}, now)
    const { rows } = await database.owner.query<{
      code: string
      tight: Date | null
      risk: Date | null
      opening: boolean
    }>(
      `select code, tight_at as tight, at_risk_at as risk, needs_opening as opening from forecast
       where limit_name is not null order by code`,
    )
    return rows.map(({ code, tight, risk, opening }): [string, SampleScore] => [
      code,
      {
        times: { tightAt: tight?.getTime() ?? null, atRiskAt: risk?.getTime() ?? null },
        needsOpening: opening,
      },
    ])
  }
  let before = await read()
  for (;;) {
    const scores = await read()
    if (JSON.stringify(scores) === JSON.stringify(before)) return new Map(scores)
    before = scores
  }
}

/** Holds rows of a page to the judgement of their samples. */
function expectSame(rows: readonly JudgedRow[], judgements: ReadonlyMap<string, Judgement>, page: string) {
  for (const row of rows) {
    const expected = judgements.get(row.code) as Judgement
    const where = `${page} ${row.code}`
    expect(row.standing, where).toBe(expected.standing)
    if (row.judgement === null) expect(expected.acts, where).toEqual([])
    else expect(JSON.stringify(row.judgement), where).toEqual(JSON.stringify(expected))
  }
}

/** The codes of rows by whose leading act is late, in the order of the rows. */
const listLate = (rows: readonly JudgedRow[]) =>
  rows.flatMap(({ code, judgement }) => (judgement?.acts[0]?.overdue ? [code] : []))

/** Holds the order of rows and of the weekly mail to that of what is due. */
function expectSameOrder(rows: readonly JudgedRow[], work: DueWork, page: string) {
  const leads = new Map(
    work.judged.map(({ sample, judgement }) => [sample, judgement.acts[0]?.overdue?.kind]),
  )
  const isLead = ({ sample, kind }: DueWork['overdue'][number]) =>
    sample !== null && leads.get(sample) === kind
  expect(listLate(rows), page).toEqual(work.overdue.filter(isLead).map(({ sample }) => sample))
  const items = toWorkItems(work, new Map()).filter(({ reason }) => reason.kind === 'overdue')
  expect(
    items.sort(compareUrgency).map(({ key }) => key),
    page,
  ).toEqual(work.overdue.map(({ subject }) => subject))
}

/** Holds the board to everything that is asked of anyone, and its filter to its counts. */
async function expectBoardHasAll(
  board: Awaited<ReturnType<typeof getBoard>>,
  judgements: ReadonlyMap<string, Judgement>,
  now: number,
) {
  const shown = new Set(board.bands.flatMap(({ rows }) => rows.map(({ code }) => code)))
  for (const [code, { acts }] of judgements) if (acts.length > 0) expect([...shown]).toContain(code)
  expect(board.counts.total).toBe(shown.size)
  const grouped: string[] = []
  for (const group of SAMPLE_GROUPS) {
    const { bands } = await getBoard(database.app, 'all', { group }, now)
    const found = bands.flatMap(({ rows }) => rows.map(({ code }) => code))
    expect(found, group).toHaveLength(board.counts.groups[group])
    grouped.push(...found)
  }
  expect(grouped.sort()).toEqual([...shown].sort())
}

/** Holds what the weekly mail and the calendars name to the judgement of their samples. */
function expectMailsAndFeeds(
  work: DueWork,
  { document }: JudgedProgramme,
  judgements: ReadonlyMap<string, Judgement>,
) {
  const judged = new Map(work.judged.map(({ sample, judgement }) => [sample, judgement]))
  for (const [code, expected] of judgements) {
    const found = judged.get(code)
    if (found) expect(found, `mail of ${code}`).toEqual(expected)
    else expect(expected.acts, `mail of ${code}`).toEqual([])
  }
  for (const { reason } of toWorkItems(work, new Map()))
    if ('act' in reason)
      expect(judgements.get(reason.judged.sample)?.acts, reason.kind).toContainEqual(reason.act)
  for (const { code, zone } of document.plants)
    for (const { key } of buildFeedEntries(english, work, code, zone, work.asOf)) {
      const [kind, sample = '', act] = key.split('/')
      if (kind === 'act')
        expect(
          judgements.get(sample)?.acts.map((one) => one.act),
          key,
        ).toContain(act)
    }
}

/** What the random programmes had, so that no kind of case is missing unseen. */
const seen = new Map<string, number>()
const count = (name: string) => seen.set(name, (seen.get(name) ?? 0) + 1)

test('every page has the same judgement of every sample, and the due page what is late of it', async () => {
  const { app } = database
  await fc.assert(
    fc.asyncProperty(anyJudgedProgramme, async (programme) => {
      await clearLedger(database.owner)
      await applyRegister(app, programme.document, NOW - 60 * DAY)
      await acceptEvents(app, wire(...programme.events), UNRESTRICTED, NOW - DAY)
      for (const now of [NOW, NOW + 3 * DAY, NOW + 20 * DAY]) {
        const { judgements, overdue, samples } = await judgeAll(programme, now)
        for (const { fitness, acts } of judgements.values()) {
          count(fitness)
          for (const { act } of acts) count(act)
        }
        const board = await getBoard(app, 'all', {}, now)
        expectSame(
          board.bands.flatMap(({ rows }) => rows),
          judgements,
          'board',
        )
        await expectBoardHasAll(board, judgements, now)
        for (const { code } of programme.document.plants) {
          const scope: Scope = { plants: [code], laboratories: [] }
          const page = await getPlantPage(app, scope, code, now)
          expectSame(page?.open ?? [], judgements, `plant ${code}`)
          const theirs = await getDueWork(app, scope, now)
          expect(theirs.overdue, code).toEqual(overdue.filter(({ plant }) => plant === code))
          const { bands } = await getBoard(app, scope, {}, now)
          expectSameOrder(bands[0]?.rows ?? [], theirs, `board of ${code}`)
          expectSameOrder(page?.open ?? [], theirs, `plant ${code}`)
        }
        const desk: Scope = { plants: [], laboratories: ['LAB'] }
        const receiving = await getReceivingList(app, desk, ['LAB'], now)
        expectSame(
          receiving.laboratories.flatMap(({ rows }) => rows),
          judgements,
          'receiving',
        )
        const arrivals = await getArrivals(app, desk, ['LAB'], now)
        expectSame(
          arrivals.laboratories.flatMap(({ coming }) => coming.flatMap((one) => one.samples)),
          judgements,
          'arrivals',
        )
        const work = await getDueWork(app, 'all', now)
        expect(work.overdue).toEqual(overdue)
        expectMailsAndFeeds(work, programme, judgements)
        for (const { kit } of samples) {
          const dossier = await getSampleDossier(app, 'all', kit.code, now)
          if (!dossier) throw new Error(kit.code)
          const { zones: _, ...judgement } = await judgeSample(app, dossier.sample, now)
          expect(judgement, `page of ${kit.code}`).toEqual(judgements.get(kit.code))
        }
      }
      const derived = await derivedText(database.owner)
      await rebuild(app, NOW + 20 * DAY)
      expect(await derivedText(database.owner)).toEqual(derived)
    }),
    { numRuns: chooseUsualOrLong({ usual: 3, long: 200 }) },
  )
  // A few programmes at random do not have everything.
  const common = ['fit', 'unfit']
  const all = [...common, 'in question', 'replace it', 'rule on it']
  for (const name of chooseUsualOrLong({ usual: common, long: all }))
    expect(seen.get(name) ?? 0, name).toBeGreaterThan(0)
})
