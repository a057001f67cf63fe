import { beforeAll, describe, expect, test } from 'vitest'
import { type AuditFilter, listAuditEntries } from '@/lib/store/read/auditEntries'
import { type Actor, appendToAuditLog } from '@/lib/store/scope/audit'
import { makeTestDatabase, type TestDatabase } from '../../setup/database'

const DAY_START = Date.parse('2026-11-10T00:00:00Z')
const ONE: Actor = { who: 'person p1', name: 'One Person', address: '192.0.2.1' }
const TWO: Actor = { who: 'key k2', name: '100% dock_key', address: null }

let database: TestDatabase
beforeAll(async () => {
  database = await makeTestDatabase()
  const { app } = database
  await appendToAuditLog(
    app,
    ONE,
    [
      { what: 'issued kits', subject: 'K1' },
      { what: 'issued kits', subject: 'K2' },
    ],
    DAY_START - 1,
  )
  await appendToAuditLog(
    app,
    ONE,
    [{ what: 'changed a protocol', subject: 'TEN', before: { a: 1 }, after: { a: 2 } }],
    DAY_START,
  )
  await appendToAuditLog(
    app,
    TWO,
    [{ what: 'tried GET /api/board', outcome: 'refused', count: 7 }],
    DAY_START + 86_400_000,
  )
})

const found = async (filter: AuditFilter) =>
  (await listAuditEntries(database.app, 'all', filter, null, 10)).rows.map(
    ({ subject, what }) => subject ?? what,
  )

describe('the audit log', () => {
  test.each<[string, AuditFilter, string[]]>([
    ['is searched by nothing, newest first', {}, ['tried GET /api/board', 'TEN', 'K2', 'K1']],
    ['by a part of a name, in any letters', { who: 'one per' }, ['TEN', 'K2', 'K1']],
    ['by an id', { who: 'key k2' }, ['tried GET /api/board']],
    ['by an address', { who: '192.0.2.1' }, ['TEN', 'K2', 'K1']],
    ['by signs that mean something in a pattern', { who: '100% dock_' }, ['tried GET /api/board']],
    ['by such a sign that does not occur', { what: '%a_p%' }, []],
    ['by what was done', { what: 'PROTOCOL' }, ['TEN']],
    ['by what it was done to', { subject: 'k2' }, ['K2']],
    ['from an instant on', { fromAt: DAY_START }, ['tried GET /api/board', 'TEN']],
    ['until before an instant', { untilAt: DAY_START }, ['K2', 'K1']],
    ['by outcome', { outcome: 'refused' }, ['tried GET /api/board']],
    ['by several at once', { who: 'one', subject: 'K', untilAt: DAY_START }, ['K2', 'K1']],
  ])('%s', async (_, filter, subjects) => expect(await found(filter)).toEqual(subjects))

  test('is read page by page, each entry once', async () => {
    const seqs: string[] = []
    let olderThan: string | null = null
    do {
      const page = await listAuditEntries(database.app, 'all', {}, olderThan, 3)
      seqs.push(...page.rows.map(({ seq }) => seq))
      olderThan = page.olderThan
    } while (olderThan !== null)
    expect(seqs).toEqual(['4', '3', '2', '1'])
  })

  test('is ordered by number, however many digits there are', async () => {
    const { app, owner } = await makeTestDatabase()
    await owner.query(
      `insert into audit_entry (who, who_name, what)
       select 'command', 'a command', 'line ' || n from generate_series(1, 10000) as n`,
    )
    const seqs: string[] = []
    let olderThan: string | null = null
    do {
      const page = await listAuditEntries(app, 'all', {}, olderThan, 700)
      seqs.push(...page.rows.map(({ seq }) => seq))
      olderThan = page.olderThan
    } while (olderThan !== null)
    expect(seqs).toEqual(Array.from({ length: 10_000 }, (_, index) => String(10_000 - index)))
  })

  test('keeps what was before and after', async () => {
    const { rows } = await listAuditEntries(database.app, 'all', { subject: 'TEN' }, null, 1)
    expect(rows).toEqual([
      {
        seq: '3',
        at: DAY_START,
        who: 'person p1',
        whoName: 'One Person',
        address: '192.0.2.1',
        what: 'changed a protocol',
        subject: 'TEN',
        before: { a: 1 },
        after: { a: 2 },
        outcome: 'done',
        count: 1,
      },
    ])
  })

  test('is empty for a scope that does not see everything', async () => {
    const page = await listAuditEntries(
      database.app,
      { plants: ['PL1'], laboratories: ['LAB'] },
      {},
      null,
      10,
    )
    expect(page).toEqual({ rows: [], olderThan: null })
  })
})

test.each([`update audit_entry set what = 'other'`, 'delete from audit_entry', 'truncate audit_entry'])(
  'not even its owner changes it: %s',
  async (sql) => {
    await expect(database.owner.query(sql)).rejects.toThrow('only grows')
    await expect(database.app.query(sql)).rejects.toThrow('permission denied')
  },
)
