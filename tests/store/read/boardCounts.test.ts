import { beforeAll, expect, test } from 'vitest'
import { UNRESTRICTED } from '@/lib/custody/event'
import { generateKitCode } from '@/lib/custody/kitCode'
import type { RegisterDocument } from '@/lib/custody/registerDocument'
import { HOUR } from '@/lib/hold/zone'
import { getSampleGroup, isUrgent, SAMPLE_GROUPS, tally } from '@/lib/judgement/sampleGroup'
import { acceptEvents } from '@/lib/store/projection/acceptEvents'
import { type BoardFilter, getBoard } from '@/lib/store/read/board'
import { applyRegister } from '@/lib/store/register/changeRegister'
import { makeManyKits, makeRandom } from '@/tests/bench/manyEvents'
import { wire } from '@/tests/cases/smallProgramme'
import { makeTestDatabase, type TestDatabase } from '@/tests/setup/database'

const NOW = Date.UTC(2026, 1, 20, 12)
let database: TestDatabase
let document: RegisterDocument

/**
 * Of a hundred kits every seventh is a duplicate and every thirteenth retained, every eleventh has another in its place once it
 * lapses, and on every ninth something is found.
 */
beforeAll(async () => {
  database = await makeTestDatabase()
  const { kits: plain, ...rest } = makeManyKits(100, 5)
  const purpose = (n: number) => (n % 13 === 0 ? 'retained' : n % 7 === 0 ? 'duplicate' : 'first')
  const kits = plain.map((kit, n) => ({ ...kit, purpose: purpose(n) }) as const)
  document = { ...rest, kits }
  await applyRegister(database.app, document, NOW - 60 * HOUR)
  const report = (id: string, sample: string, kind: string, hoursAgo: number, facts = {}) => {
    const at = new Date(NOW - hoursAgo * HOUR).toISOString()
    return { source: 'dock', id: `${id} ${sample}`, sample, kind, at, facts }
  }
  const events = kits.flatMap(({ code }, n) => [
    // Three to thirty hours of the twenty-four within which each has to be handed over.
    report('cut', code, 'collected', 3 * ((n % 10) + 1)),
    ...(n % 11 === 9
      ? [report('in its place', code, 'replaced by', 1, { kit: kits[(n + 1) % 100]?.code })]
      : []),
    ...(n % 9 === 4 ? [report('torn', code, 'deviation', 1, { what: 'a torn bag' })] : []),
  ])
  await acceptEvents(database.app, wire(...events), UNRESTRICTED, NOW)
})

async function readRows(filter: BoardFilter, now: number) {
  const { bands, counts } = await getBoard(database.app, 'all', filter, now)
  return { rows: bands.flatMap((band) => band.rows), counts }
}

const all = ['to be replaced', 'in question', 'at risk', 'tight', 'sound', 'of no use']
test.each([
  ['while limits run out', NOW, all],
  ['when all have run out', NOW + 48 * HOUR, ['to be replaced', 'of no use']],
])('the board’s counts agree with its rows %s, for each group', async (_, now, there) => {
  const { rows, counts } = await readRows({}, now)
  const groups = rows.map((row) => getSampleGroup(row.judgement, row.standing))
  const urgent = groups.filter((_group, index) => isUrgent(rows[index]?.judgement ?? null))
  expect(counts).toEqual({ total: 100, groups: tally(groups), urgent: tally(urgent) })
  const found = Object.entries(counts.groups).filter(([, many]) => many > 0)
  expect(found.map(([what]) => what)).toEqual(there)
  for (const group of SAMPLE_GROUPS) {
    const alike = (await readRows({ group }, now)).rows
    expect(alike.map(({ code }) => code)).toEqual(
      rows.filter((_, index) => groups[index] === group).map(({ code }) => code),
    )
  }
})

test('nobody is asked about a retained sample that has lapsed, and nobody may send it', async () => {
  const { rows } = await readRows({ group: 'of no use' }, NOW)
  const retained = rows.filter(({ purpose }) => purpose === 'retained')
  expect(retained.length).toBeGreaterThan(0)
  for (const { judgement } of retained)
    expect(judgement).toMatchObject({ fitness: 'unfit', restraint: 'do not send', acts: [] })
})

test('the board finds what a filter asks for', async () => {
  const code = generateKitCode(makeRandom(1))
  const { kits } = document
  const like = kits.slice(0, 1).map((kit) => ({ ...kit, code }))
  await applyRegister(database.app, { ...document, kits: [...kits, ...like] }, NOW)
  const found = async (filter: BoardFilter) => (await readRows(filter, NOW)).rows.map(({ code }) => code)
  const dashed = `${code.slice(0, 4)}-${code.slice(4)}`.toLowerCase()
  expect(await found({ stage: 'issued' })).toEqual([code])
  expect(await found({ search: ` ${dashed} ` })).toEqual([code])
  expect(await found({ search: dashed, stage: 'issued', group: 'sound' })).toEqual([code])
  expect(await found({ search: dashed, stage: 'collected' })).toEqual([])
  expect(await found({ search: 'bench plant', stage: 'collected' })).toHaveLength(100)
  const tight = await found({ group: 'tight' })
  expect(tight.length).toBeGreaterThan(0)
  expect(await found({ search: 'bench plant', group: 'tight' })).toEqual(tight)
  for (const search of ['%', 'no such word', `${code}\u0000`]) expect(await found({ search })).toEqual([])
})
