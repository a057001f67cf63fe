import { expect, test } from 'vitest'
import { type RefusedAttempt, RefusedAttempts, type WriteAttempts } from '@/lib/store/people/refusedAttempts'
import { listAuditEntries } from '@/lib/store/read/auditEntries'
import { appendToAuditLog } from '@/lib/store/scope/audit'
import { makeTestDatabase } from '../../setup/database'

const START = Date.parse('2026-11-10T12:00:00Z')
const attempt = (
  changes: Partial<RefusedAttempt> & { address?: string; who?: string } = {},
): RefusedAttempt => ({
  actor: { who: changes.who ?? 'person p1', name: 'One', address: changes.address ?? '192.0.2.1' },
  attempted: changes.attempted ?? 'GET /api/board',
  reason: changes.reason ?? 'no permission',
})

function summed() {
  const written: Parameters<WriteAttempts>[0] = []
  const attempts = new RefusedAttempts(async (lines) => {
    written.push(...lines)
  })
  const counts = () => written.map(({ line }) => line.count)
  return { attempts, written, counts }
}

test('5,000 of one group in three minutes are at most six lines, and all are counted', async () => {
  const database = await makeTestDatabase()
  const attempts = new RefusedAttempts(async (lines) => {
    for (const { actor, line, at } of lines) await appendToAuditLog(database.authPool, actor, [line], at)
  })
  for (let n = 0; n < 5_000; n++) await attempts.add(attempt(), START + n * 30)
  await attempts.flush(START + 5_000 * 30 + 60_000)
  const { rows: entries } = await listAuditEntries(database.app, 'all', {}, null, 1_000)
  expect(entries.length).toBeLessThanOrEqual(6)
  expect(entries.reduce((sum, { count }) => sum + count, 0)).toBe(5_000)
  expect(entries[0]).toMatchObject({
    who: 'person p1',
    what: 'tried GET /api/board',
    outcome: 'refused',
    address: '192.0.2.1',
  })
})

test('5,000 from as many addresses are at most 202 lines', async () => {
  const { attempts, counts, written } = summed()
  for (let n = 0; n < 5_000; n++) await attempts.add(attempt({ address: `192.0.2.${n}` }), START + n)
  await attempts.flush(START + 120_000)
  expect(counts().length).toBeLessThanOrEqual(202)
  expect(counts().reduce<number>((sum, count) => sum + (count ?? 0), 0)).toBe(5_000)
  expect(written.at(-1)?.actor).toEqual({ who: 'nobody', name: 'many at once', address: null })
})

test('the first is written at once, the rest when its minute is over', async () => {
  const { attempts, counts, written } = summed()
  await attempts.add(attempt(), START)
  expect(counts()).toEqual([1])
  await attempts.add(attempt(), START + 1_000)
  await attempts.add(attempt(), START + 59_999)
  await attempts.flush(START + 59_999)
  expect(counts()).toEqual([1])
  await attempts.flush(START + 60_000)
  expect(counts()).toEqual([1, 2])
  expect(written[1]?.at).toBe(START + 59_999)
  await attempts.flush(START + 120_000)
  expect(counts()).toEqual([1, 2])
})

test('another address, person, target or reason is another group', async () => {
  const { attempts, counts } = summed()
  for (const one of [
    attempt(),
    attempt({ address: '192.0.2.2' }),
    attempt({ who: 'key k1' }),
    attempt({ attempted: 'page /audit' }),
    attempt({ reason: 'sent from elsewhere' }),
  ])
    await attempts.add(one, START)
  expect(counts()).toEqual([1, 1, 1, 1, 1])
})
