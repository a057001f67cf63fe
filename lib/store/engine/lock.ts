import { randomBytes } from 'node:crypto'
import {
  linkSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  truncateSync,
  utimesSync,
  writeFileSync,
} from 'node:fs'
import { join } from 'node:path'
import { setTimeout as wait } from 'node:timers/promises'
import { getMarkScope, readProcessMark } from './processes'

/**
 * A lock on a folder that dies with its owner, in files `lock.1`, `lock.2`, ...: the highest number counts, and holds
 * as long as its process lives. A dead owner's lock is not removed but outbid, by creating the next number, which only
 * one contender can do. With remove and recreate, two contenders that find the same dead owner could both win.
 */
export interface Lock {
  release(): void
}

interface Owner {
  pid: number
  mark: string
}

const HEARTBEAT_MS = 4_000

/**
 * Takes the lock of a folder, which is created if missing.
 * @returns the lock, or the process id of its live owner.
 */
export async function takeLock(folder: string): Promise<Lock | { heldBy: number }> {
  mkdirSync(folder, { recursive: true })
  for (;;) {
    const top = findHighestNumber(folder)
    if (top > 0) {
      const owner = readOwner(folder, top)
      if (owner && (await isLive(owner, folder, top))) return { heldBy: owner.pid }
    }
    const mine = top + 1
    if (!claim(folder, mine)) continue
    if (findHighestNumber(folder) !== mine) {
      rmSync(getLockPath(folder, mine), { force: true })
      continue
    }
    for (let old = top; old > 0 && removeQuietly(getLockPath(folder, old)); old--);
    return hold(folder, mine)
  }
}

/** Waits until the lock is free, then takes it. */
export async function takeLockWhenFree(folder: string): Promise<Lock> {
  for (;;) {
    const lock = await takeLock(folder)
    if (!('heldBy' in lock)) return lock
    await wait(300)
  }
}

/** The process id of the live owner of a folder's lock; null if there is none. */
export async function findLockOwner(folder: string): Promise<number | null> {
  const top = findHighestNumber(folder)
  const owner = top > 0 ? readOwner(folder, top) : null
  return owner && (await isLive(owner, folder, top)) ? owner.pid : null
}

function hold(folder: string, number: number): Lock {
  const path = getLockPath(folder, number)
  const beat = setInterval(() => touch(path), HEARTBEAT_MS)
  beat.unref()
  return {
    release() {
      clearInterval(beat)
      releaseLockFile(path)
    },
  }
}

/** An empty file has no owner, and needs no room on a full disk. */
function releaseLockFile(path: string) {
  try {
    truncateSync(path)
  } catch {
    // The folder is gone or read-only: the lock ends with this process.
  }
}

/**
 * The process id says nothing about an owner in another container, on another machine or before a reboot. Then, and
 * only then, the heartbeat of the file decides, compared with a file written now, so that clocks of two machines do not
 * matter.
 */
async function isLive(owner: Owner, folder: string, number: number): Promise<boolean> {
  const own = readProcessMark(process.pid) ?? ''
  if (getMarkScope(own) === getMarkScope(owner.mark)) return readProcessMark(owner.pid) === owner.mark
  const path = getLockPath(folder, number)
  const before = getModifiedMs(path)
  let now = 0
  writeLockFile(folder, owner, (temporary) => {
    now = getModifiedMs(temporary)
  })
  for (let ageMs = now - before; ageMs < 2.5 * HEARTBEAT_MS; ageMs += 500) {
    await wait(500)
    if (getModifiedMs(path) !== before) return true
  }
  return false
}

function claim(folder: string, number: number): boolean {
  const owner = { pid: process.pid, mark: readProcessMark(process.pid) ?? '' }
  try {
    writeLockFile(folder, owner, (temporary) => linkSync(temporary, getLockPath(folder, number)))
    return true
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'EEXIST') return false
    throw error
  }
}

function writeLockFile(folder: string, owner: Owner, place: (temporary: string) => void) {
  const temporary = join(folder, `.lock-${randomBytes(6).toString('hex')}`)
  try {
    writeFileSync(temporary, `${JSON.stringify(owner)}\n`)
    place(temporary)
  } finally {
    rmSync(temporary, { force: true })
  }
}

function findHighestNumber(folder: string): number {
  const numbers = readdirSync(folder).map((name) => Number(/^lock\.(\d+)$/.exec(name)?.[1] ?? 0))
  return Math.max(0, ...numbers)
}

function readOwner(folder: string, number: number): Owner | null {
  try {
    return JSON.parse(readFileSync(getLockPath(folder, number), 'utf8')) as Owner
  } catch {
    return null
  }
}

function getLockPath(folder: string, number: number): string {
  return join(folder, `lock.${number}`)
}

function getModifiedMs(path: string): number {
  return statSync(path, { throwIfNoEntry: false })?.mtimeMs ?? 0
}

function touch(path: string) {
  try {
    const now = new Date()
    utimesSync(path, now, now)
  } catch {
    // The folder was removed under a running engine, which will report that itself.
  }
}

function removeQuietly(path: string): boolean {
  const isThere = getModifiedMs(path) !== 0
  rmSync(path, { force: true })
  return isThere
}
