import type { ChildProcess } from 'node:child_process'
import { setTimeout as wait } from 'node:timers/promises'
import pg from 'pg'
import { z } from 'zod'

/**
 * The file in the data folder that tells where a running engine listens; it exists only while the engine accepts
 * connections.
 */
export const addressFile = 'engine.json'

const stillStarting = new Set(['ECONNREFUSED', 'ECONNRESET', '57P03'])
const pollMs = 60

const session = z.object({ zone: z.string() })

/**
 * Waits until PostgreSQL accepts connections. No timeout while the process lives: recovery after a crash takes as long
 * as it takes, and an interruption would only start it over.
 * @returns the failure as a sentence, or null once it is ready.
 */
export async function waitUntilReady(child: ChildProcess, url: string): Promise<string | null> {
  let ended: string | null = null
  child.once('error', (error) => {
    ended = `It cannot be run: ${error.message}.`
  })
  child.once('exit', (code, signal) => {
    ended ??= `It exited at once (${signal ?? `exit code ${code}`}).`
  })
  while (ended === null) {
    const client = new pg.Client({ connectionString: url })
    client.on('error', () => {})
    try {
      await client.connect()
      const { rows } = await client.query("select current_setting('TimeZone') as zone")
      const { zone } = session.parse(rows[0])
      return zone === 'UTC' ? null : `Its time zone is ${zone}, not UTC.`
    } catch (error) {
      const { code, message } = error as NodeJS.ErrnoException
      if (!stillStarting.has(code ?? '')) return `It refuses the connection: ${message}.`
      await wait(pollMs)
    } finally {
      await client.end().catch(() => {})
    }
  }
  return ended
}
