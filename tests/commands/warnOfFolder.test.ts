import { existsSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { afterEach, expect, test, vi } from 'vitest'
import { warnOfFolder } from '@/lib/commands/warnOfFolder'
import { makeFolder } from '../store/backup/backupCase'

afterEach(() => vi.restoreAllMocks())

test('a folder that cannot be written is said at the start, with its setting and its reason', () => {
  const said = vi.spyOn(process.stdout, 'write').mockReturnValue(true)
  const folder = makeFolder()
  warnOfFolder('HOLDFAST_LOG_DIR', join(folder, 'made', 'logs'))
  expect(existsSync(join(folder, 'made', 'logs'))).toBe(true)
  expect(said).not.toHaveBeenCalled()
  writeFileSync(join(folder, 'file'), '')
  warnOfFolder('HOLDFAST_BACKUP_DIR', join(folder, 'file', 'backups'))
  expect(said.mock.calls.join()).toMatch(/HOLDFAST_BACKUP_DIR: \S+backups cannot be written: ENOTDIR/)
})
