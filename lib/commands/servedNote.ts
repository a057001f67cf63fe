import { mkdirSync, readFileSync, renameSync, rmSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { readProcessMark } from '@/lib/store/engine/processes'

/** The site and database that a running launcher serves. */
export interface ServedNote {
  /** Like http://localhost:3000. */
  address: string
  database: string
  /** Process id of the launcher. */
  pid: number
}

/** `mark` distinguishes the launcher from a later process with its id. */
type StoredNote = ServedNote & { mark: string | null }

const getNotePath = (dataDir: string) => join(dataDir, 'served.json')

/** Writes the note for other commands. */
export function writeServedNote(dataDir: string, served: ServedNote): void {
  mkdirSync(dataDir, { recursive: true, mode: 0o700 })
  const path = getNotePath(dataDir)
  const stored: StoredNote = { ...served, mark: readProcessMark(served.pid) }
  writeFileSync(`${path}.new`, JSON.stringify(stored))
  renameSync(`${path}.new`, path)
}

/** Removes the note of this process. Launchers of other databases may share the folder and overwrite each other's. */
export function forgetServedNote(dataDir: string): void {
  if (readServedNote(dataDir)?.pid === process.pid) rmSync(getNotePath(dataDir), { force: true })
}

/** The note of a launcher that is still running; null if there is none. */
export function readServedNote(dataDir: string): ServedNote | null {
  try {
    const { mark, ...served } = JSON.parse(readFileSync(getNotePath(dataDir), 'utf8')) as StoredNote
    return readProcessMark(served.pid) === mark ? served : null
  } catch {
    return null
  }
}
