import { beforeAll, expect, test } from 'vitest'
import { readBackupStatus, recordBackupFault, recordGoodBackup } from '@/lib/store/backup/backupStatus'
import { makeTestDatabase, type TestDatabase } from '../../setup/database'

let database: TestDatabase
beforeAll(async () => {
  database = await makeTestDatabase()
})

test('a failure keeps the last complete backup, and a complete one ends the failure', async () => {
  const { app, owner } = database
  expect(await readBackupStatus(app)).toEqual({ lastGoodAt: null, file: null, bytes: null, lastFault: null })
  await recordBackupFault(app, 1000, 'The disk is full.')
  const lastFault = { at: 1000, reason: 'The disk is full.' }
  expect(await readBackupStatus(app)).toEqual({ lastGoodAt: null, file: null, bytes: null, lastFault })
  await recordGoodBackup(app, { at: 1_890_000_000_123, file: '/b/one', bytes: 5_000_000_000 })
  const good = { lastGoodAt: 1_890_000_000_123, file: '/b/one', bytes: 5_000_000_000 }
  expect(await readBackupStatus(owner)).toEqual({ ...good, lastFault: null })
  await recordBackupFault(app, 2000, 'The disk is full.')
  expect(await readBackupStatus(app)).toEqual({
    ...good,
    lastFault: { at: 2000, reason: 'The disk is full.' },
  })
})
