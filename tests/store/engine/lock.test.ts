import { mkdtempSync, readdirSync, rmSync, utimesSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { setTimeout as wait } from 'node:timers/promises'
import { afterEach, beforeEach, expect, test } from 'vitest'
import { findLockOwner, type Lock, takeLock } from '@/lib/store/engine/lock'
import { getMarkScope, readProcessMark } from '@/lib/store/engine/processes'

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

test('of thirty that ask at once for a dead owner’s lock, one gets it', async () => {
  leave(3, { pid: 4_194_304, mark: `${getMarkScope(readProcessMark(process.pid) ?? '')} 1` })
  const outcomes = await Promise.all(Array.from({ length: 30 }, () => takeLock(folder)))
  expect(outcomes.filter(isTaken)).toHaveLength(1)
  expect(readdirSync(folder)).toEqual(['lock.4'])
})

test('a lock given back can be taken again', async () => {
  const first = await takeLock(folder)
  expect(await findLockOwner(folder)).toBe(process.pid)
  if (isTaken(first)) first.release()
  expect(await findLockOwner(folder)).toBeNull()
  expect(isTaken(await takeLock(folder))).toBe(true)
})

test('a lock from another machine counts as long as it is kept fresh', async () => {
  leave(1, { pid: 1, mark: 'elsewhere pid:[1] 5' })
  const beat = setInterval(() => leave(1, { pid: 1, mark: 'elsewhere pid:[1] 5' }), 300)
  await wait(50)
  const outcome = await takeLock(folder)
  clearInterval(beat)
  expect(outcome).toEqual({ heldBy: 1 })
})

test('a lock from another machine or before a restart that has gone stale is outbid at once', async () => {
  leave(1, { pid: 1, mark: 'elsewhere pid:[1] 5' }, 60_000)
  const startedAt = Date.now()
  expect(isTaken(await takeLock(folder))).toBe(true)
  expect(Date.now() - startedAt).toBeLessThan(2_000)
})

test('a file that is no lock does not stand in the way', async () => {
  writeFileSync(join(folder, 'lock.2'), 'half a li')
  expect(isTaken(await takeLock(folder))).toBe(true)
})
