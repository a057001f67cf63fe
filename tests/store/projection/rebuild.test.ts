import { spawn } from 'node:child_process'
import { beforeAll, beforeEach, describe, expect, test } from 'vitest'
import { UNRESTRICTED } from '@/lib/custody/event'
import { generateKitCode } from '@/lib/custody/kitCode'
import { acceptEvents } from '@/lib/store/projection/acceptEvents'
import { ensureDerived, findOutdatedRows, rebuild } from '@/lib/store/projection/rebuild'
import { getDerivationVersion, isServed, ROWS_VERSION } from '@/lib/store/projection/rowsVersion'
import { getBoard } from '@/lib/store/read/board'
import { applyRegister } from '@/lib/store/register/changeRegister'
import { makeManyEvents, makeManyKits, makeRandom } from '@/tests/bench/manyEvents'
import { derivedText } from '@/tests/cases/derivedText'
import { wire } from '@/tests/cases/smallProgramme'
import { makeTestDatabase, type TestDatabase } from '@/tests/setup/database'
import { chooseUsualOrLong } from '@/tests/setup/usualOrLong'

const SAMPLES = chooseUsualOrLong({ usual: 2_000, long: 20_000 })
const NOW = Date.UTC(2026, 2, 20)
/** Each request waits for the batch in hand, and what brings its rows up to date for the next ones. */
const FEW_BATCHES = 3

let database: TestDatabase
let codes: string[]
let posted = 0
beforeAll(async () => {
  database = await makeTestDatabase()
  const register = makeManyKits(SAMPLES, 12)
  codes = register.kits.map(({ code }) => code)
  await applyRegister(database.app, register, NOW)
  // The later milestones are missing, so that all samples are open.
  const events = makeManyEvents(codes, 8 * SAMPLES, 'r').filter((_, index) => index % 8 < 5)
  for (let start = 0; start < events.length; start += 10_000)
    await post(...events.slice(start, start + 10_000))
})

async function post(...events: Record<string, unknown>[]) {
  const items = await acceptEvents(database.app, wire(...events), UNRESTRICTED, NOW)
  return items.map(({ acceptance }) => acceptance)
}

/** An event of a sample, an unknown kit, a consignment that nobody names, one that a dispatch names, or a box without a code. */
function makeNextEvent(): Record<string, unknown> {
  posted += 1
  const sample = codes[(posted * 997) % codes.length]
  const event = { source: 'during', id: `${posted}`, kind: 'scanned', at: '2026-03-01T12:00:00Z' }
  const turns = [
    { ...event, sample, kind: 'received', place: 'LB1' },
    { ...event, sample: generateKitCode(makeRandom(posted)) },
    { ...event, service: 'road', waybill: `lone ${posted}` },
    { ...event, sample, kind: 'dispatched', service: 'road', waybill: `lone ${posted - 1}` },
    { ...event, kind: 'received', place: 'LB1' },
  ]
  return turns[posted % turns.length] as Record<string, unknown>
}

/** Spoils all that is derived: contents, rows that are missing, rows too many, and what is unplaced. */
beforeEach(async () => {
  await post(...Array.from({ length: 8 }, makeNextEvent))
  await database.owner.query(`
    update sample set search = 'spoilt', due_at = null, flags = '{spoilt}' where code > $$5$$;
    insert into sample select (jsonb_populate_record(s, '{"code": "GONE"}')).* from sample s limit 1;
    delete from sample where code in (select code from sample where code <> 'GONE' order by code desc limit 10);
    delete from unplaced where event_seq in (select event_seq from unplaced limit 2);
    insert into unplaced select seq from event where sample = (select min(code) from sample) limit 2`)
})

/** What is derived from nothing, while nobody else writes. */
async function deriveAfresh() {
  await database.owner.query('delete from unplaced; delete from sample')
  await rebuild(database.app, NOW)
  return derivedText(database.owner)
}

const hasRebuild = async () =>
  (await database.owner.query("select from app_metadata where name = 'rebuild'")).rowCount === 1

test('a rebuild lets events in and boards be read between its batches, and gives what one from nothing gives', async () => {
  let [batches, isDone] = [0, false]
  const rebuilding = rebuild(database.app, NOW, { onProgress: () => (batches += 1) }).finally(() => {
    isDone = true
  })
  const waits: number[] = []
  const repeat = async (request: () => Promise<unknown>) => {
    while (!isDone) {
      const before = batches
      await request()
      waits.push(batches - before)
    }
  }
  const accepted: unknown[] = []
  await Promise.all([
    rebuilding,
    repeat(async () => accepted.push(...(await post(makeNextEvent())))),
    repeat(() => getBoard(database.app, 'all', {}, NOW)),
  ])
  expect(batches).toBeGreaterThan(FEW_BATCHES)
  expect(accepted.length).toBeGreaterThan(FEW_BATCHES)
  expect(accepted.filter((one) => one !== 'accepted' && one !== 'unplaced')).toEqual([])
  expect(Math.max(...waits)).toBeLessThanOrEqual(FEW_BATCHES)
  const served = await derivedText(database.owner)
  expect(served.filter((row) => row.includes('spoilt') || row.includes('GONE'))).toEqual([])
  expect(served).toEqual(await deriveAfresh())
})

test('a rebuild that is killed goes on where it stopped, whatever came in meanwhile', async () => {
  const args = ['--import', 'tsx', 'tests/store/projection/rebuildProcess.ts']
  const child = spawn(process.execPath, [...args, database.url, String(NOW), '3'], { stdio: 'inherit' })
  expect(await new Promise((resolve) => child.once('close', (_, signal) => resolve(signal)))).toBe('SIGKILL')
  expect(await hasRebuild()).toBe(true)
  await post(...Array.from({ length: 8 }, makeNextEvent))
  const progress: { done: number; total: number }[] = []
  await rebuild(database.app, NOW, { onProgress: (one) => progress.push(one) })
  expect(progress[0]?.done).toBeGreaterThan(300)
  expect(progress.at(-1)?.total).toBeGreaterThan(SAMPLES)
  expect(await hasRebuild()).toBe(false)
  expect(await derivedText(database.owner)).toEqual(await deriveAfresh())
})

test('one that is to begin anew derives also what a killed one had derived, and says how many', async () => {
  const stop = new AbortController()
  let done = 0
  const broken = rebuild(database.app, NOW, {
    signal: stop.signal,
    onProgress: (one) => {
      done = one.done
      stop.abort()
    },
  })
  await expect(broken).rejects.toThrow(/abort/)
  expect(done).toBeGreaterThan(0)
  expect(await hasRebuild()).toBe(true)
  await database.owner.query(
    "update sample set search = 'spoilt' where code = (select min(code) from sample)",
  )
  const progress: { done: number }[] = []
  const { samples } = await rebuild(database.app, NOW, {
    isAnew: true,
    onProgress: (one) => progress.push(one),
  })
  expect(progress[0]?.done).toBeLessThanOrEqual(done)
  expect(progress.at(-1)?.done).toBeGreaterThanOrEqual(samples)
  const derived = await derivedText(database.owner)
  expect(derived.filter((row) => row.includes('spoilt'))).toEqual([])
  expect(derived).toEqual(await deriveAfresh())
})

test('one that begins anew while another runs has both derive all of it', async () => {
  let second: Promise<{ samples: number }> | undefined
  const first = rebuild(database.app, NOW, {
    onProgress: () => {
      second ??= rebuild(database.app, NOW, { isAnew: true })
    },
  })
  const { samples } = await first
  expect(await second).toEqual({ samples, movedDues: expect.anything() })
  expect(await hasRebuild()).toBe(false)
  expect(await derivedText(database.owner)).toEqual(await deriveAfresh())
})

test('two runs share a rebuild', async () => {
  const done: number[] = []
  const onProgress = (one: { done: number }) => done.push(one.done)
  await Promise.all([1, 2].map(() => rebuild(database.app, NOW, { onProgress })))
  // Each batch is derived by one of them; the last ones are of consignments.
  expect([...done].sort((a, b) => a - b)).toEqual(done)
  expect(await derivedText(database.owner)).toEqual(await deriveAfresh())
})

describe('rows of an earlier version', () => {
  const store = (version: string) =>
    database.owner.query("update app_metadata set value = to_jsonb($1::text) where name = 'zone data'", [
      version,
    ])
  const zone = process.versions.tz as string

  test('are served until they are derived again, also after that was broken off', async () => {
    await store(`${zone}, rows 7`)
    await database.owner.query('update sample set holds_from_at = null')
    expect((await getBoard(database.app, 'all', {}, NOW)).bands.length).toBeGreaterThan(0)
    const stop = new AbortController()
    const broken = ensureDerived(database.app, NOW, { signal: stop.signal, onProgress: () => stop.abort() })
    await expect(broken).rejects.toThrow(/abort/)
    const outdated = await findOutdatedRows(database.app)
    expect(outdated).toEqual({
      from: `${zone}, rows 7 or ${getDerivationVersion()}`,
      to: getDerivationVersion(),
    })
    expect(isServed(outdated?.from as string)).toBe(true)
    expect((await getBoard(database.app, 'all', {}, NOW)).bands.length).toBeGreaterThan(0)
    expect(await ensureDerived(database.app, NOW)).toMatchObject({ to: getDerivationVersion() })
    expect(await ensureDerived(database.app, NOW)).toBeNull()
    expect(await derivedText(database.owner)).toEqual(await deriveAfresh())
  })

  test('are not served if the program cannot read them', () => {
    expect(isServed(`2020a, rows ${ROWS_VERSION}`)).toBe(true)
    expect(isServed('2026a, rows 6')).toBe(false)
    expect(isServed('2026a, rows 6 or 2026a, rows 8')).toBe(false)
    expect(isServed('2026a')).toBe(false)
  })
})
