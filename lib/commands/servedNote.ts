import { mkdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'

/** What a running launcher serves, and where. */
export interface ServedNote {
  /** Like http://localhost:3000. */
  address: string
  /** The name of the database. */
  database: string
  /** The launcher's process. */
  pid: number
}

const getNotePath = (dataDir: string) => join(dataDir, 'served.json')

/** Leaves a note of what is served, for the commands; the answer takes it away. */
export function writeServedNote(dataDir: string, served: ServedNote): () => void {
  mkdirSync(dataDir, { recursive: true, mode: 0o700 })
  writeFileSync(getNotePath(dataDir), JSON.stringify(served))
  return () => rmSync(getNotePath(dataDir), { force: true })
}

/** What is served by a launcher that still runs; null if none does. */
export function readServedNote(dataDir: string): ServedNote | null {
  try {
    const served = JSON.parse(readFileSync(getNotePath(dataDir), 'utf8')) as ServedNote
    process.kill(served.pid, 0)
    return served
  } catch {
    return null
  }
}
