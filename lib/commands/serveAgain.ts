import { existsSync, readFileSync, renameSync, rmSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { setTimeout as wait } from 'node:timers/promises'
import { readServedNote, type ServedNote } from './servedNote'

const CHECK_INTERVAL_MS = 300
/** A launcher that has not answered by then hangs, ms. */
const ANSWER_TIMEOUT_MS = 120_000

/** A file, since signals carry no answer and Windows has none. The launcher removes it once it is done. */
const getRequestPath = (dataDir: string) => join(dataDir, 'serve-again')

/**
 * Asks the running launcher to choose again what it serves, after the databases changed, and waits until it serves that.
 * @param database the one that changed; a launcher that serves it starts its web server anew.
 * @returns what it serves then; null if no launcher runs, or if it does not answer.
 */
export async function askToServeAgain(dataDir: string, database: string): Promise<ServedNote | null> {
  if (!readServedNote(dataDir)) return null
  const path = getRequestPath(dataDir)
  writeFileSync(`${path}.new`, JSON.stringify({ database, askedAt: Date.now() }))
  renameSync(`${path}.new`, path)
  const until = Date.now() + ANSWER_TIMEOUT_MS
  let launcher = readServedNote(dataDir)?.pid
  while (existsSync(path) && Date.now() < until) {
    await wait(CHECK_INTERVAL_MS)
    // There is no note once the launcher ends, so it is known by its process.
    launcher = readServedNote(dataDir)?.pid ?? launcher
    if (launcher === undefined || !isAlive(launcher)) break
  }
  if (!existsSync(path)) return readServedNote(dataDir)
  rmSync(path, { force: true })
  return null
}

/** Forgets what was asked of an earlier launcher; for before this one writes its note. Later requests are for it. */
export function forgetRequests(dataDir: string) {
  rmSync(getRequestPath(dataDir), { force: true })
}

/** Answers such requests, also those made since the note was written, one after the other, until the process ends. */
export function answerServeAgain(dataDir: string, serveAgain: (database: string) => Promise<void>) {
  const path = getRequestPath(dataDir)
  let isAnswering = false
  const check = async () => {
    if (isAnswering || !existsSync(path)) return
    isAnswering = true
    try {
      const request = readFileSync(path, 'utf8')
      const { database } = JSON.parse(request) as { database: string }
      await serveAgain(database)
      // Another request may have taken the place of this one.
      if (readFileSync(path, 'utf8') === request) rmSync(path, { force: true })
    } catch (error) {
      if ((error as NodeJS.ErrnoException).code !== 'ENOENT') throw error
    } finally {
      isAnswering = false
    }
  }
  setInterval(() => void check(), CHECK_INTERVAL_MS).unref()
}

function isAlive(pid: number): boolean {
  try {
    process.kill(pid, 0)
    return true
  } catch (error) {
    return (error as NodeJS.ErrnoException).code === 'EPERM'
  }
}
