import type { ChildProcess } from 'node:child_process'
import { setTimeout as wait } from 'node:timers/promises'
import pg from 'pg'
import { z } from 'zod'

/** The file in the data folder that says where a running engine listens; it is there only once the engine takes connections. */
export const addressFile = 'engine.json'

const stillStarting = new Set(['ECONNREFUSED', 'ECONNRESET', '57P03'])
const pollMs = 60

const session = z.object({ zone: z.string() })

/**
 * Waits until PostgreSQL takes connections. There is no limit in time while the process lives, because recovery after a crash takes
 * as long as it takes, and cutting it short would only begin it anew.
 * @returns what went wrong, as a sentence, or null when it is ready.
 */
export async function waitUntilReady(child: ChildProcess, url: string): Promise<string | null> {
  let ended: string | null = null
  child.once('error', (error) => {
    ended = `It can not be run: ${error.message}.`
  })
  child.once('exit', (code, signal) => {
    ended ??= `It ended at once (${signal ?? `exit code ${code}`}).`
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
