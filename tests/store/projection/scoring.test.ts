import { beforeEach, describe, expect, test } from 'vitest'
import { UNRESTRICTED } from '@/lib/custody/event'
import { generateKitCode } from '@/lib/custody/kitCode'
import { DAY, HOUR, MINUTE } from '@/lib/hold/zone'
import { getSampleGroup, tally } from '@/lib/judgement/sampleGroup'
import type { Scope } from '@/lib/policy/scope'
import { acceptEvents } from '@/lib/store/projection/acceptEvents'
import { rebuild } from '@/lib/store/projection/rebuild'
import { STANDING_SQL } from '@/lib/store/projection/sampleConditions'
import { scoreDueSamples } from '@/lib/store/projection/scoring'
import { SCORED_SAMPLES } from '@/lib/store/projection/storedForecast'
import { getBoard } from '@/lib/store/read/board'
import { getSampleDossier } from '@/lib/store/read/sample/sampleDossier'
import { applyRegister } from '@/lib/store/register/changeRegister'
import { makeRandom } from '../../bench/manyEvents'
import { expectedScores } from '../../cases/expectedScores'
import { CASE_NOW, sharedCase } from '../../cases/sharedCase'
import { checkedRegister, wire } from '../../cases/smallProgramme'
import { makeTestDatabase, type TestDatabase } from '../../setup/database'

let database: TestDatabase
beforeEach(async () => {
  database = await makeTestDatabase()
})

const scoresNow = async () =>
  (
    await database.owner.query<{ row: string }>('select forecast::text as row from forecast order by code')
  ).rows.map(({ row }) => row)

/** The autumn case in the store, accepted at its own time. */
async function autumn() {
  const { document, events } = sharedCase('autumn')
  await applyRegister(database.app, document, CASE_NOW)
  await acceptEvents(database.app, () => events.map((event) => ({ event })), UNRESTRICTED, CASE_NOW)
}

describe('the scores of the autumn case', () => {
  test('equal those of the pure library for the same events, on the board and in its counts', async () => {
    await autumn()
    const expected = expectedScores(sharedCase('autumn'), CASE_NOW, CASE_NOW)
    const open = expected.filter(({ sample }) => sample.settled === null)
    const { bands, counts } = await getBoard(database.app, 'all', {}, CASE_NOW)
    const rows = bands.flatMap((band) => band.rows)
    const shown = rows
      .filter(({ isSettled }) => !isSettled)
      // Nothing is expected of one that proves nothing, and no forecast of it is shown.
      .filter(({ judgement }) => judgement?.fitness !== 'unfit')
      .map(({ code, standing, forecast }) => [code, standing, forecast?.limit, forecast?.risk])
    const codes = new Set(shown.map(([code]) => code))
    expect(shown.sort()).toEqual(
      open
        .filter(({ sample }) => codes.has(sample.kit.code))
        .map(({ sample, standing, score }) => {
          const lapsed =
            standing === 'lapsed' &&
            sample.standingTimes.dueAt !== null &&
            sample.standingTimes.dueAt < CASE_NOW
          const binding = lapsed ? null : (score?.binding ?? null)
          return [sample.kit.code, standing, binding?.limit, binding?.risk]
        })
        .sort(),
    )
    expect(shown.filter(([, , limit]) => limit !== undefined).length).toBeGreaterThan(10)
    const unfit = rows.filter(({ isSettled, code }) => !isSettled && !codes.has(code))
    expect(shown.length + unfit.length).toBe(open.length)
    expect(unfit.filter(({ forecast }) => forecast !== null)).toEqual([])
    const groups = tally(rows.map((row) => getSampleGroup(row.judgement, row.standing)))
    expect(counts).toMatchObject({ total: rows.length, groups })
  })

  test('stay the same after a rebuild from the ledgers', async () => {
    await autumn()
    const scored = await scoreDueSamples(database.app, CASE_NOW)
    expect(scored).toBeGreaterThan(20)
    const before = await scoresNow()
    expect(await scoreDueSamples(database.app, CASE_NOW)).toBe(0)
    await rebuild(database.app, CASE_NOW)
    expect(await scoreDueSamples(database.app, CASE_NOW)).toBe(scored)
    expect(await scoresNow()).toEqual(before)
  })

  test('are renewed after a quarter of an hour, and not before', async () => {
    await autumn()
    const scored = await scoreDueSamples(database.app, CASE_NOW)
    expect(await scoreDueSamples(database.app, CASE_NOW + 14 * MINUTE)).toBe(0)
    expect(await scoreDueSamples(database.app, CASE_NOW + 16 * MINUTE)).toBe(scored)
  })
})

const NOW = Date.parse('2026-10-22T12:00:00Z')
const random = makeRandom(90210)

/** Twenty shipments that took two open days, and one that has been under way for eleven days. */
const PAST = Array.from({ length: 20 }, () => generateKitCode(random))
const LATE = generateKitCode(random)
const SETTLED = generateKitCode(random)

/** The other plant has shipped nothing. */
const OTHER = generateKitCode(random)

/** A limit of a year, so that hardly any of its time is used. */
const longLimit = (amount: number) => [
  {
    code: 'TEN',
    name: 'Long',
    limits: [{ name: 'cut to dock', from: 'collected', to: 'received', amount, unit: 'working days' }],
  },
]

async function lane(amount: number) {
  const register = checkedRegister({
    protocols: longLimit(amount),
    kits: [...PAST, LATE, SETTLED, OTHER].map((code) => ({
      code,
      product: code === OTHER ? 'CORK' : 'FELT',
      plant: code === OTHER ? 'PL2' : 'PL1',
      laboratory: 'LAB',
      service: 'road',
      issuedAt: '2026-05-01T08:00:00Z',
    })),
  })
  await applyRegister(database.app, register, NOW)
  const at = (instant: number) => new Date(instant).toISOString()
  const event = (sample: string, kind: string, instant: number) => ({
    source: 'desk',
    id: `${sample} ${kind}`,
    sample,
    kind,
    at: at(instant),
    reportedAt: at(instant + HOUR),
  })
  // The laboratory opens from Monday to Thursday: a Monday's dispatch comes on Wednesday.
  const monday = Date.parse('2026-05-04T14:00:00Z')
  const past = PAST.flatMap((code, week) => {
    const sent = monday + week * 7 * DAY
    return [
      event(code, 'collected', sent - 5 * HOUR),
      event(code, 'dispatched', sent),
      event(code, 'received', sent + 2 * DAY),
    ]
  })
  const late = [event(LATE, 'collected', NOW - 11 * DAY), event(LATE, 'dispatched', NOW - 11 * DAY + HOUR)]
  const settled = [event(SETTLED, 'collected', NOW - DAY), event(SETTLED, 'cancelled', NOW - HOUR)]
  await acceptEvents(database.app, wire(...past, ...late, ...settled), UNRESTRICTED, NOW)
}

const rowsAt = async (now: number) =>
  (await getBoard(database.app, 'all', {}, now)).bands.flatMap(({ rows }) => rows)

describe('a sample eleven days on a lane that has always taken two', () => {
  test('is at risk though hardly any of its time is used, with its limit and its chance', async () => {
    await lane(20)
    const [row] = await rowsAt(NOW)
    expect(row).toMatchObject({ code: LATE, standing: 'at risk', forecast: { limit: 'cut to dock' } })
    const { startedAt, dueAt } = row?.binding ?? {}
    expect((NOW - Number(startedAt)) / (Number(dueAt) - Number(startedAt))).toBeLessThan(0.6)
    const { risk, low, high } = row?.forecast ?? { risk: 0, low: 0, high: 0 }
    expect(risk).toBeGreaterThan(0.2)
    expect(low).toBeLessThan(risk)
    expect(high).toBeGreaterThan(risk)
    expect((await getBoard(database.app, 'all', { group: 'at risk' }, NOW)).counts.groups['at risk']).toBe(1)
    const sound = (await getBoard(database.app, 'all', { group: 'sound' }, NOW)).bands
    expect(sound.flatMap(({ rows }) => rows.map(({ code }) => code))).toEqual([OTHER])
  })

  test('has no score once it is received or settled', async () => {
    await lane(20)
    await rowsAt(NOW)
    expect((await scoresNow()).map((row) => row.slice(1, 9))).toEqual([LATE])
    const received = {
      source: 'desk',
      id: 'come',
      sample: LATE,
      kind: 'received',
      at: new Date(NOW).toISOString(),
    }
    await acceptEvents(database.app, wire(received), UNRESTRICTED, NOW)
    expect(await scoresNow()).toEqual([])
  })

  test('is scored again for the next reader after an event', async () => {
    await lane(20)
    await rowsAt(NOW)
    const sealed = {
      source: 'desk',
      id: 's',
      sample: LATE,
      kind: 'sealed',
      at: new Date(NOW - 11 * DAY).toISOString(),
    }
    await acceptEvents(database.app, wire(sealed), UNRESTRICTED, NOW + MINUTE)
    expect((await scoresNow())[0]).toMatch(/,f,,\)$/)
    const [row] = await rowsAt(NOW + MINUTE)
    expect(row?.forecast?.scoredAt).toBe(NOW + MINUTE)
  })

  test('turns at the forecast time if nothing is reported', async () => {
    await lane(60)
    const [before] = await rowsAt(NOW)
    expect(before?.standing).not.toBe('at risk')
    const { rows } = await database.owner.query<{ at_risk_at: Date }>('select at_risk_at from forecast')
    const turnsAt = Number(rows[0]?.at_risk_at)
    expect(turnsAt).toBeGreaterThan(NOW)
    const standingAt = async (now: number) =>
      (
        await database.owner.query<{ standing: string }>(
          `select ${STANDING_SQL} as standing from ${SCORED_SAMPLES} where settled is null`,
          [new Date(now)],
        )
      ).rows[0]?.standing
    expect(await standingAt(turnsAt - 1)).toBe('tight')
    expect(await standingAt(turnsAt)).toBe('at risk')
  })
})

test('a reader of one plant sees the evidence of its own lane, and not how much others ship', async () => {
  await lane(20)
  const firstStage = async (scope: Scope, code: string) =>
    (await getSampleDossier(database.app, scope, code, NOW))?.forecasts[0]?.stages[0]
  const own = await firstStage({ plants: ['PL1'], laboratories: [] }, LATE)
  expect(own?.evidence.unfadedConsignments).toBeGreaterThan(20)
  expect(own).toEqual(await firstStage('all', LATE))
  // The other plant has never shipped by this service: its forecast rests on another maker's shipments alone.
  const dispatched = { source: 'desk', id: 'o', sample: OTHER, kind: 'dispatched', service: 'road' }
  const cut = { source: 'desk', id: 'c', sample: OTHER, kind: 'collected' }
  const at = new Date(NOW - HOUR).toISOString()
  await acceptEvents(database.app, wire({ ...cut, at }, { ...dispatched, at }), UNRESTRICTED, NOW)
  expect((await firstStage('all', OTHER))?.evidence).toMatchObject({ borrowedShare: 1 })
  expect((await firstStage('all', OTHER))?.evidence.unfadedConsignments).toBeGreaterThan(20)
  expect((await firstStage({ plants: ['PL2'], laboratories: [] }, OTHER))?.evidence).toMatchObject({
    borrowedShare: 1,
    arrivals: null,
    consignments: null,
    unfadedConsignments: null,
  })
  expect(await firstStage({ plants: ['PL2'], laboratories: [] }, LATE)).toBeUndefined()
})

test('without any shipments the standing goes by the share of time used', async () => {
  await applyRegister(database.app, checkedRegister({ protocols: longLimit(10) }), NOW)
  const [row] = await rowsAt(NOW)
  expect(row).toMatchObject({ standing: 'sound', forecast: null })
})
