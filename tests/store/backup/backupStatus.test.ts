import { beforeAll, expect, test } from 'vitest'
import {
  isBackupOverdue,
  readBackupStatus,
  recordBackupFault,
  recordGoodBackup,
  recordSchedule,
} from '@/lib/store/backup/backupStatus'
import { makeTestDatabase, type TestDatabase } from '../../setup/database'

let database: TestDatabase
beforeAll(async () => {
  database = await makeTestDatabase()
})

test('a failure keeps the last complete backup, and a complete one ends the failure', async () => {
  const { app, owner } = database
  const none = { lastGoodAt: null, file: null, bytes: null, scheduledSince: null }
  expect(await readBackupStatus(app)).toEqual({ ...none, lastFault: null })
  await recordBackupFault(app, 1000, 'The disk is full.')
  const lastFault = { at: 1000, reason: 'The disk is full.' }
  expect(await readBackupStatus(app)).toEqual({ ...none, lastFault })
  await recordGoodBackup(app, { at: 1_890_000_000_123, file: '/b/one', bytes: 5_000_000_000 })
  await recordSchedule(app, 900)
  const good = { lastGoodAt: 1_890_000_000_123, file: '/b/one', bytes: 5_000_000_000, scheduledSince: 900 }
  expect(await readBackupStatus(owner)).toEqual({ ...good, lastFault: null })
  await recordBackupFault(app, 2000, 'The disk is full.')
  expect(await readBackupStatus(app)).toEqual({
    ...good,
    lastFault: { at: 2000, reason: 'The disk is full.' },
  })
})

const DAY = 86_400_000

test.each([
  ['is not scheduled', { lastGoodAt: null, scheduledSince: null }, false],
  ['was scheduled two days ago', { lastGoodAt: null, scheduledSince: 8 * DAY }, false],
  ['was scheduled before and never made', { lastGoodAt: null, scheduledSince: 8 * DAY - 1 }, true],
  ['is two days old', { lastGoodAt: 8 * DAY, scheduledSince: 0 }, false],
  ['is older', { lastGoodAt: 8 * DAY - 1, scheduledSince: 0 }, true],
])('whether a backup is overdue that %s', (_, status, isOverdue) => {
  expect(isBackupOverdue(status, 10 * DAY)).toBe(isOverdue)
})
