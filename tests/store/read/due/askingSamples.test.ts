import type pg from 'pg'
import { beforeAll, describe, expect, test } from 'vitest'
import { UNRESTRICTED } from '@/lib/custody/event'
import { placeEvents } from '@/lib/custody/placing'
import { entriesOf, kitOf, Register } from '@/lib/custody/register'
import type { RegisterDocument } from '@/lib/custody/registerDocument'
import { sampleOf } from '@/lib/custody/sample'
import { openTests } from '@/lib/schedule/occurrences'
import { overdueOf } from '@/lib/schedule/overdue'
import { OVERDUE_KINDS } from '@/lib/schedule/overdueKinds'
import { owedOf, type Programme } from '@/lib/schedule/owed'
import { currentRegister } from '@/lib/store/ledger/currentRegister'
import { eventsBy } from '@/lib/store/ledger/eventLedger'
import { acceptEvents } from '@/lib/store/projection/acceptEvents'
import { readLedgerEvent } from '@/lib/store/projection/derive'
import { laneRecord } from '@/lib/store/projection/laneRecord'
import { askingSamples } from '@/lib/store/read/due/askingSamples'
import { dueWork, paceOf } from '@/lib/store/read/due/dueWork'
import { programmeSamples } from '@/lib/store/read/due/programmeSamples'
import { officeDays, officeOf } from '@/lib/store/register/office'
import { inScope } from '@/lib/store/scope/scope'
import { DUE_NOW, fillDueProgramme } from '../../../bench/dueProgramme'
import { wire } from '../../../cases/smallProgramme'
import { freshDatabase, type TestDatabase } from '../../../setup/database'

/** Six years of kits, of which a quarter of a year is open. */
const SIZE = { samples: 6_000, open: 250 }
const PLANT = 'P105'
let database: TestDatabase
let document: RegisterDocument

beforeAll(async () => {
  database = await freshDatabase()
  document = await fillDueProgramme(database, SIZE)
})

/** What asks, of some plants or of all, and how the database finds it. */
function asking(plants: readonly string[] | null) {
  return inScope(database.app, 'all', async (client) => {
    const tests = openTests(await currentRegister(database.app, client), plants, DUE_NOW)
    let plan = ''
    const explaining = {
      query: async (sql: string, values: unknown[]) => {
        const { rows } = await client.query(`explain ${sql}`, values)
        plan = rows.map((row) => row['QUERY PLAN']).join('\n')
        return client.query(sql, values)
      },
    }
    const found = await askingSamples(explaining as unknown as pg.ClientBase, plants, tests, DUE_NOW)
    return { codes: found.map(({ code }) => code), plan }
  })
}

/** Every sample by the pure library alone, from the whole ledger. */
async function wholeProgramme(now: number): Promise<Programme> {
  const { app } = database
  const register = new Register(entriesOf(document, Number.NEGATIVE_INFINITY))
  const kits = new Map(document.kits.map((content) => [content.code, kitOf(content)]))
  const events = await inScope(app, 'all', (client) => eventsBy('order by seq')(client))
  const read = events.map((event) => readLedgerEvent(event, register))
  const { bySample } = placeEvents(read, (code) => kits.has(code), now)
  return {
    register,
    samples: [...kits.values()].map((kit) => sampleOf(kit, bySample.get(kit.code) ?? [], register, now)),
    pace: paceOf(await laneRecord(app, now)),
    office: officeDays(await inScope(app, 'all', (client) => officeOf(client, register))),
    now,
  }
}

describe('of a programme of six years', () => {
  test('what can still ask is read, and found by indexes', async () => {
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
    ])
      expect(plan).toContain(index)
    expect(plan).not.toMatch(/Seq Scan on sample/)
  })

  test('of a plant only its own is read', async () => {
    const all = new Set((await asking(null)).codes)
    const { codes } = await asking([PLANT])
    const theirs = new Set(document.kits.filter(({ plant }) => plant === PLANT).map(({ code }) => code))
    expect(codes.length).toBeGreaterThan(0)
    expect(codes.every((code) => theirs.has(code))).toBe(true)
    expect([...all].filter((code) => theirs.has(code)).sort()).toEqual([...codes].sort())
  })

  test('what is due is what all samples give, at several times, for everyone and for each plant', async () => {
    const { app } = database
    for (const now of [DUE_NOW, DUE_NOW + 20 * 86_400_000]) {
      const whole = await wholeProgramme(now)
      const work = await dueWork(app, 'all', now)
      expect(work.pressing).toEqual(overdueOf(whole))
      expect(work.owed).toEqual(owedOf(whole, 92))
      expect(new Set(work.pressing.map(({ kind }) => kind)).size).toBeGreaterThan(OVERDUE_KINDS.length / 3)
      for (const plant of ['P000', PLANT, 'P017', 'P299']) {
        const seen = await dueWork(app, { plants: [plant], laboratories: [] }, now)
        expect(seen.pressing).toEqual(work.pressing.filter((one) => one.plant === plant))
        expect(seen.owed).toEqual(work.owed.filter((one) => one.plant === plant))
      }
    }
  })

  test('after an event only the sample that it is of is read again', async () => {
    const { app } = database
    const read = () =>
      inScope(app, 'all', async (client) =>
        programmeSamples(app, client, await currentRegister(app, client), null, DUE_NOW),
      )
    const before = await read()
    const [first] = before.filter(({ history }) => history.stage === 'loaded')
    const sample = first?.kit.code as string
    const said = { source: 'desk', id: 'odd', sample, kind: 'deviation', at: '2026-02-19T10:00:00Z' }
    await acceptEvents(app, wire({ ...said, facts: { what: 'The bag is torn.' } }), UNRESTRICTED, DUE_NOW)
    const after = await read()
    const known = new Set(before)
    expect(after.filter((one) => !known.has(one)).map(({ kit }) => kit.code)).toEqual([sample])
    const { pressing } = await dueWork(app, 'all', DUE_NOW)
    expect(pressing.filter((one) => one.sample === sample).map(({ kind }) => kind)).toContain(
      'deviation with no ruling',
    )
  })

  test('what is asked as of another time meanwhile takes nothing away', async () => {
    const { app } = database
    const register = await inScope(app, 'all', (client) => currentRegister(app, client))
    const codesAt = (now: number, meanwhile = async () => {}) =>
      inScope(app, 'all', async (client) => {
        let count = 0
        const between = {
          query: async (sql: string, values: unknown[]) => {
            count += 1
            if (count === 2) await meanwhile()
            return client.query(sql, values)
          },
        }
        const read = await programmeSamples(app, between as unknown as pg.ClientBase, register, null, now)
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
