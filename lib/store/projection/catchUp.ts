import type pg from 'pg'
import { getLog } from '@/lib/telemetry/log'
import { isUnavailable } from '../scope/unavailable'
import { tryWriteTransaction, withBackgroundWrite } from '../scope/writer'

/**
 * Runs a part of the work: at once if no request writes now, else after those that do, and calls `fallBehind` as it
 * begins to wait for them.
 */
export async function writeInTurn<T>(
  pool: pg.Pool,
  work: (client: pg.PoolClient) => Promise<T>,
  fallBehind: () => void,
): Promise<T> {
  const done = await tryWriteTransaction(pool, work).catch((error: unknown) => {
    // Someone has locked a table: wait for it where no reader does.
    if (isUnavailable(error)) return null
    throw error
  })
  if (done) return done.result
  fallBehind()
  return withBackgroundWrite(pool, work)
}

/**
 * Declares work that brings rows up to date for a reader, and that all readers share while it runs. The function returns
 * true when it is done; false, while it goes on in the background, if it waits for a writer or takes longer than
 * `timeoutMs`. A failure is logged under `name`, and counts as false.
 */
export function declareCatchUp(
  name: string,
  work: (pool: pg.Pool, now: number, fallBehind: () => void) => Promise<unknown>,
): (pool: pg.Pool, now: number, timeoutMs: number) => Promise<boolean> {
  const running = new WeakMap<pg.Pool, Promise<boolean>>()
  const start = (pool: pg.Pool, now: number) =>
    new Promise<boolean>((resolve) => {
      work(pool, now, () => resolve(false))
        .then(() => resolve(true))
        .catch((error: Error) => {
          const stack = isUnavailable(error) ? undefined : error.stack
          getLog().error({ stack }, `${name} failed: ${error.message}`)
          resolve(false)
        })
        .finally(() => running.delete(pool))
    })
  return async (pool, now, timeoutMs) => {
    const one = running.get(pool) ?? start(pool, now)
    running.set(pool, one)
    let timer: NodeJS.Timeout | undefined
    const timeout = new Promise<boolean>((resolve) => {
      timer = setTimeout(() => resolve(false), timeoutMs)
    })
    const isDone = await Promise.race([one, timeout])
    clearTimeout(timer)
    return isDone
  }
}
