import { spawnSync } from 'node:child_process'
import { mkdirSync, mkdtempSync, readdirSync, rmSync, utimesSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { setTimeout as wait } from 'node:timers/promises'
import { afterEach, beforeEach, expect, test } from 'vitest'
import { findLockOwner, type Lock, takeLock } from '@/lib/store/engine/lock'
import { getMarkScope, readProcessMark } from '@/lib/store/engine/processes'
import { mountSmallDisk } from '../../setup/smallDisk'

let folder: string
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'holdfast-lock-'))
})
afterEach(() => rmSync(folder, { recursive: true }))

const isTaken = (outcome: Lock | { heldBy: number }): outcome is Lock => !('heldBy' in outcome)
const leave = (number: number, owner: object, ageMs = 0) => {
  const path = join(folder, `lock.${number}`)
  writeFileSync(path, `${JSON.stringify(owner)}\n`)
  const at = new Date(Date.now() - ageMs)
  utimesSync(path, at, at)
}

test('one of thirty concurrent requests gets a dead owner’s lock', async () => {
  leave(3, { pid: 4_194_304, mark: `${getMarkScope(readProcessMark(process.pid) ?? '')} 1` })
  const outcomes = await Promise.all(Array.from({ length: 30 }, () => takeLock(folder)))
  expect(outcomes.filter(isTaken)).toHaveLength(1)
  expect(readdirSync(folder)).toEqual(['lock.4'])
})

test('a released lock can be taken again', async () => {
  const first = await takeLock(folder)
  expect(await findLockOwner(folder)).toBe(process.pid)
  if (isTaken(first)) first.release()
  expect(await findLockOwner(folder)).toBeNull()
  expect(isTaken(await takeLock(folder))).toBe(true)
})

test('on a full disk a lock is released, and one that cannot be taken leaves nothing', async ({ skip }) => {
  const disk = mountSmallDisk(1)
  if ('reason' in disk) return skip(disk.reason)
  const other = join(disk.folder, 'other')
  mkdirSync(other)
  const lock = await takeLock(disk.folder)
  const fill = spawnSync('dd', ['if=/dev/zero', `of=${join(disk.folder, 'ballast')}`])
  expect(String(fill.stderr)).toContain('No space left on device')
  await expect(takeLock(other)).rejects.toThrow('ENOSPC')
  expect(readdirSync(other)).toEqual([])
  expect(await findLockOwner(disk.folder)).toBe(process.pid)
  if (isTaken(lock)) lock.release()
  expect(await findLockOwner(disk.folder)).toBeNull()
})

test('a lock from another machine holds as long as its heartbeat is fresh', async () => {
  leave(1, { pid: 1, mark: 'elsewhere pid:[1] 5' })
  const beat = setInterval(() => leave(1, { pid: 1, mark: 'elsewhere pid:[1] 5' }), 300)
  await wait(50)
  const outcome = await takeLock(folder)
  clearInterval(beat)
  expect(outcome).toEqual({ heldBy: 1 })
})

test('a stale lock from another machine or before a reboot is outbid at once', async () => {
  leave(1, { pid: 1, mark: 'elsewhere pid:[1] 5' }, 60_000)
  const startedAt = Date.now()
  expect(isTaken(await takeLock(folder))).toBe(true)
  expect(Date.now() - startedAt).toBeLessThan(2_000)
})

test('an invalid lock file is ignored', async () => {
  writeFileSync(join(folder, 'lock.2'), 'half a li')
  expect(isTaken(await takeLock(folder))).toBe(true)
})
