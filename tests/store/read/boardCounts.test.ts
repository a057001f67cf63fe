import { beforeAll, expect, test } from 'vitest'
import { UNRESTRICTED } from '@/lib/custody/event'
import { generateKitCode } from '@/lib/custody/kitCode'
import type { RegisterDocument } from '@/lib/custody/registerDocument'
import { OPEN_STANDINGS, type OpenStanding } from '@/lib/hold/standing'
import { HOUR } from '@/lib/hold/zone'
import { needsReplacement } from '@/lib/judgement/nextStep'
import { acceptEvents } from '@/lib/store/projection/acceptEvents'
import { type BoardFilter, getBoard } from '@/lib/store/read/board'
import { applyRegister } from '@/lib/store/register/changeRegister'
import { makeManyKits, makeRandom } from '@/tests/bench/manyEvents'
import { wire } from '@/tests/cases/smallProgramme'
import { makeTestDatabase, type TestDatabase } from '@/tests/setup/database'

const NOW = Date.UTC(2026, 1, 20, 12)
let database: TestDatabase
let document: RegisterDocument

/** Every seventh of a hundred kits is a duplicate, and every eleventh has another in its place once it lapses. */
beforeAll(async () => {
  database = await makeTestDatabase()
  const { kits: plain, ...rest } = makeManyKits(100, 5)
  const kits = plain.map((kit, n) => (n % 7 === 0 ? { ...kit, purpose: 'duplicate' as const } : kit))
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
  ])
  await acceptEvents(database.app, wire(...events), UNRESTRICTED, NOW)
})

async function readRows(filter: BoardFilter, now: number) {
  const { bands, counts } = await getBoard(database.app, 'all', filter, now)
  return { rows: bands.flatMap((band) => band.rows), counts }
}

test.each([
  ['while limits run out', NOW, ['lapsed', 'replaced', 'notOwed', 'atRisk', 'tight', 'sound']],
  ['when all have run out', NOW + 48 * HOUR, ['lapsed', 'replaced', 'notOwed']],
])('the board’s counts agree with its rows %s, for each standing', async (_, now, there) => {
  const { rows, counts } = await readRows({}, now)
  const count = (one: OpenStanding) => rows.filter(({ standing }) => standing === one).length
  const lapsed = rows.filter(({ standing }) => standing === 'lapsed')
  const replaced = lapsed.filter(({ replacedBy }) => replacedBy !== null).length
  expect(counts).toEqual({
    open: 100,
    lapsed: lapsed.length,
    replaced,
    notOwed: lapsed.length - replaced - lapsed.filter(needsReplacement).length,
    atRisk: count('at risk'),
    tight: count('tight'),
    sound: count('sound'),
  })
  const found = Object.entries(counts).filter(([, many]) => many > 0)
  expect(found.map(([what]) => what)).toEqual(['open', ...there])
  for (const standing of OPEN_STANDINGS) {
    const alike = (await readRows({ standing }, now)).rows
    expect(alike.map((row) => row.standing)).toEqual(Array(count(standing)).fill(standing))
  }
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
  expect(await found({ search: dashed, stage: 'issued', standing: 'sound' })).toEqual([code])
  expect(await found({ search: dashed, stage: 'collected' })).toEqual([])
  expect(await found({ search: 'bench plant', stage: 'collected' })).toHaveLength(100)
  const tight = await found({ standing: 'tight' })
  expect(tight.length).toBeGreaterThan(0)
  expect(await found({ search: 'bench plant', standing: 'tight' })).toEqual(tight)
  for (const search of ['%', 'no such word', `${code}\u0000`]) expect(await found({ search })).toEqual([])
})
