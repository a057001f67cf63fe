import { spawn } from 'node:child_process'
import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { beforeAll, beforeEach, expect, test } from 'vitest'
import { UNRESTRICTED } from '@/lib/custody/event'
import { buildChildEnvironment } from '@/lib/store/environment'
import { acceptEvents } from '@/lib/store/projection/acceptEvents'
import { applyRegister } from '@/lib/store/register/changeRegister'
import { makeRandom } from '@/tests/bench/manyEvents'
import { clearLedger } from '@/tests/cases/derivedText'
import { wire } from '@/tests/cases/smallProgramme'
import { makeTestDatabase, type TestDatabase } from '@/tests/setup/database'
import { MARK } from '@/tests/setup/processes'
import { FAULTS, type Fault, judge } from './judge'
import { makeEventSource, REGISTER } from './programme'
import { type SentEvent, SentRecord } from './sentRecord'
import { Victim } from './victim'

const NONE = Object.fromEntries(Object.keys(FAULTS).map((fault) => [fault, 0])) as Record<Fault, number>
const KEY = { who: 'key 1', name: 'a key', address: null }

let database: TestDatabase
let record: SentRecord
let events: SentEvent[]
beforeAll(async () => {
  database = await makeTestDatabase()
})
beforeEach(async () => {
  await clearLedger(database.owner)
  await database.owner.query(
    'alter table event disable trigger all; alter table audit_entry disable trigger all; truncate audit_entry',
  )
  await applyRegister(database.app, REGISTER, Date.now())
  record = new SentRecord()
  events = makeEventSource('client 1', 'judged', makeRandom(5))(60)
  record.send(events)
  const audit = {
    actor: KEY,
    lines: (added: readonly unknown[]) => [{ what: 'reported events', after: { accepted: added.length } }],
  }
  await acceptEvents(database.app, wire(...events), { ...UNRESTRICTED, by: 'key 1' }, Date.now(), { audit })
  for (const { source, id } of events) record.acknowledged.add(`${source}/${id}`)
})

const judgeNow = async (left: string[] = []) => (await judge(database, record, left, Date.now())).counts
const sql = (text: string) => database.owner.query(text)
const SCAN = `source = 'client 1' and id = (select min(id) from event where kind = 'scanned')`

test('a ledger that has what was acknowledged is without fault', async () => {
  expect(await judgeNow()).toEqual(NONE)
})

test('an event that was sent and never acknowledged may be in the ledger or not', async () => {
  record.acknowledged.delete(`client 1/${events[0]?.id}`)
  record.send(makeEventSource('client 1', 'never arrived', makeRandom(6))(3))
  expect(await judgeNow()).toEqual(NONE)
})

test('an event deleted from the ledger is one lost, and the audit log counts one more', async () => {
  // A scan of a consignment is not placed on a sample's row by itself, so nothing else has to differ.
  await sql(`delete from unplaced where event_seq in (select seq from event where ${SCAN})`)
  await sql(`delete from event where ${SCAN}`)
  expect(await judgeNow()).toMatchObject({ lost: 1, doubled: 0, unsent: 0, altered: 0, unaudited: 1 })
})

test('an event copied in the ledger is one doubled', async () => {
  await sql('drop index event_source_id_key')
  await sql(`insert into event select (jsonb_populate_record(e, jsonb_build_object('seq', (select max(seq) + 1 from event)))).*
    from event e where ${SCAN}`)
  const counts = await judgeNow()
  await sql('delete from unplaced; delete from event where seq = (select max(seq) from event)')
  await sql('create unique index event_source_id_key on event (source, id)')
  expect(counts).toMatchObject({ lost: 0, doubled: 1, unsent: 0, unaudited: 1 })
})

test('an event that nobody sent, and one with another content, are one each', async () => {
  record.sent.delete(`client 1/${events[3]?.id}`)
  record.acknowledged.delete(`client 1/${events[3]?.id}`)
  const sent = record.sent.get(`client 1/${events[4]?.id}`) as SentEvent
  record.sent.set(`client 1/${events[4]?.id}`, { ...sent, at: '2026-01-01T00:00:00Z' })
  expect(await judgeNow()).toEqual({ ...NONE, unsent: 1, altered: 1 })
})

test('a changed row of a sample, and a row that is missing, differ from a rebuild', async () => {
  await sql(`update sample set plant = 'elsewhere' where code = (select min(code) from sample)`)
  expect(await judgeNow()).toEqual({ ...NONE, differed: 1 })
  await sql('delete from sample where code = (select max(code) from sample)')
  expect(await judgeNow()).toEqual({ ...NONE, differed: 1 })
  expect(await judgeNow()).toEqual(NONE)
})

test('a line missing from the audit log leaves its events unaudited', async () => {
  await sql(`delete from audit_entry where what = 'reported events'`)
  expect(await judgeNow()).toEqual({ ...NONE, unaudited: events.length })
})

test('a second mail for one week, a wrong answer and a process left are one each', async () => {
  const mail = { to: 'someone@test.invalid', occasion: '2026-W48' }
  record.mails.push(mail, { ...mail, occasion: '2026-W49' }, mail)
  record.hear([{ item: 1, result: 'refused', problem: { detail: 'no' } as never }], true)
  expect(await judgeNow(['1234 a process'])).toEqual({ ...NONE, mailed: 1, wrong: 1, left: 1 })
})

test('a process that outlives its launcher is found by its mark', async ({ skip }) => {
  skip(process.platform !== 'linux', 'finding it takes /proc')
  const folder = mkdtempSync(join(tmpdir(), 'holdfast-left-'))
  const victim = new Victim(folder, 1)
  const mark = victim.markServer()[MARK] as string
  const stranger = spawn('sleep', ['600'], { env: buildChildEnvironment({ [MARK]: mark }), stdio: 'ignore' })
  const left = await victim.close(200)
  stranger.kill('SIGKILL')
  rmSync(folder, { recursive: true })
  expect(left).toEqual([`${stranger.pid} sleep 600 `])
})
