import { setTimeout } from 'node:timers/promises'
import type pg from 'pg'
import { z } from 'zod'
import { withScope } from '../scope/scope'
import { statement } from '../scope/statement'
import { isUnavailable } from '../scope/unavailable'
import { withBackgroundWrite } from '../scope/writer'
import { type MovedDue, rebuildBatch } from './rebuildBatch'
import { beginRebuild, endRebuild, readDerivedVersion, readRebuild } from './rebuildProgress'
import { getDerivationVersion } from './rowsVersion'

/** The number of samples there are now, and the dues that changed in this run. */
export interface RebuildResult {
  samples: number
  movedDues: MovedDue[]
}

export interface RebuildOptions {
  /** Whether one that did not end begins anew, since its rows may have been changed by hand meanwhile. */
  isAnew?: boolean
  /** Called after each batch: `done` of `total` kit codes are derived. */
  onProgress?: (progress: { done: number; total: number }) => void
  /** Ends it after the batch in hand; the next run goes on from there. */
  signal?: AbortSignal
}

const FIRST_BATCH_SIZE = 100
const MAX_BATCH_SIZE = 2_000
/** How long a batch should hold the writer's lock, ms; one that is twice as slow as the last still ends within a second. */
const BATCH_MS = 400
/** Pause while the database is busy or away, ms, and how often in sequence. */
const PAUSE_MS = 1_000
const MAX_PAUSES = 120

const COUNT = statement(z.object({ count: z.number() }), 'select count(*)::int as count from sample')

/**
 * Recomputes everything from the event and register ledgers at `now` (ms UTC), in batches with a transaction each, so that
 * others write and read between them. Goes on with one of the same version that did not end, unless `isAnew`. Several processes may take part.
 * The result is that of deriving all at once, also if events arrive meanwhile: each write derives what it touches.
 * @throws Error if it is aborted, or the database stays away for two minutes.
 */
export async function rebuild(
  pool: pg.Pool,
  now: number,
  { isAnew = false, onProgress = () => {}, signal }: RebuildOptions = {},
): Promise<RebuildResult> {
  const version = getDerivationVersion()
  const write = <T>(work: (client: pg.PoolClient) => Promise<T>) => writeWithPauses(pool, work, signal)
  await write((client) => beginRebuild(client, version, isAnew))
  const movedDues: MovedDue[] = []
  for (let size = FIRST_BATCH_SIZE; ; ) {
    const { tookMs, ...batch } = await write(async (client) => {
      const startedAt = performance.now()
      const position = await readRebuild(client, version)
      const result = position && (await rebuildBatch(pool, client, position, size, now))
      if (result?.isLast) await endRebuild(client, version)
      return { result, tookMs: performance.now() - startedAt }
    })
    // Another process has derived the last batch.
    if (!batch.result) break
    movedDues.push(...batch.result.movedDues)
    onProgress(batch.result)
    if (batch.result.isLast) break
    size = Math.max(1, Math.min(MAX_BATCH_SIZE, size * 2, Math.round((size * BATCH_MS) / tookMs)))
  }
  const { count } = await withScope(pool, 'all', (client) => COUNT.one(client))
  return { samples: count, movedDues }
}

async function writeWithPauses<T>(
  pool: pg.Pool,
  work: (client: pg.PoolClient) => Promise<T>,
  signal: AbortSignal | undefined,
): Promise<T> {
  for (let pauses = 0; ; pauses++) {
    signal?.throwIfAborted()
    try {
      return await withBackgroundWrite(pool, work)
    } catch (error) {
      if (!isUnavailable(error) || pauses === MAX_PAUSES) throw error
      await setTimeout(PAUSE_MS, undefined, signal ? { signal } : {})
    }
  }
}

/** Whether rows have to be derived again: `from` is the version that is stored, `to` this program's. Null if not. */
export async function findOutdatedRows(
  pool: pg.Pool,
): Promise<{ from: string | undefined; to: string } | null> {
  const to = getDerivationVersion()
  const from = await withScope(pool, 'all', readDerivedVersion)
  return from === to ? null : { from, to }
}

/**
 * Derives everything again, as of `now` (ms UTC), if the stored rows come from other zone data (a government may have moved
 * its clocks) or from another version of the rows. Returns null if nothing was rebuilt or nothing was derived before.
 */
export async function ensureDerived(
  pool: pg.Pool,
  now: number,
  options: RebuildOptions = {},
): Promise<(RebuildResult & { from: string; to: string }) | null> {
  const outdated = await findOutdatedRows(pool)
  if (!outdated) return null
  const { from, to } = outdated
  const rebuilt = await rebuild(pool, now, options)
  return from === undefined ? null : { ...rebuilt, from, to }
}
