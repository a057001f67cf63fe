import { mkdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'

/** What a running launcher serves, and where. */
export interface Served {
  /** Like http://localhost:3000. */
  address: string
  /** The name of the database. */
  database: string
  /** The launcher's process. */
  pid: number
}

const noteIn = (dataDir: string) => join(dataDir, 'served.json')

/** Leaves a note of what is served, for the commands; the answer takes it away. */
export function noteServed(dataDir: string, served: Served): () => void {
  mkdirSync(dataDir, { recursive: true, mode: 0o700 })
  writeFileSync(noteIn(dataDir), JSON.stringify(served))
  return () => rmSync(noteIn(dataDir), { force: true })
}

/** What is served by a launcher that still runs; null if none does. */
export function servedNow(dataDir: string): Served | null {
  try {
    const served = JSON.parse(readFileSync(noteIn(dataDir), 'utf8')) as Served
    process.kill(served.pid, 0)
    return served
  } catch {
    return null
  }
}
