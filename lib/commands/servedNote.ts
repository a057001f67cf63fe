import { mkdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'

/** The site and database that a running launcher serves. */
export interface ServedNote {
  /** Like http://localhost:3000. */
  address: string
  database: string
  /** Process id of the launcher. */
  pid: number
}

const getNotePath = (dataDir: string) => join(dataDir, 'served.json')

/** Writes the note for other commands. Returns a function that removes it. */
export function writeServedNote(dataDir: string, served: ServedNote): () => void {
  mkdirSync(dataDir, { recursive: true, mode: 0o700 })
  writeFileSync(getNotePath(dataDir), JSON.stringify(served))
  return () => rmSync(getNotePath(dataDir), { force: true })
}

/** The note of a launcher that is still running; null if there is none. */
export function readServedNote(dataDir: string): ServedNote | null {
  try {
    const served = JSON.parse(readFileSync(getNotePath(dataDir), 'utf8')) as ServedNote
    process.kill(served.pid, 0)
    return served
  } catch {
    return null
  }
}
