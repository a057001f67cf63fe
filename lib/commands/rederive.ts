import { ensureDerived, findOutdatedRows, type RebuildOptions } from '@/lib/store/projection/rebuild'
import type { MovedDue } from '@/lib/store/projection/rebuildBatch'
import { isServed } from '@/lib/store/projection/rowsVersion'
import { openAppPool } from '@/lib/store/scope/pool'
import { formatError, log, runStep } from './steps'

const STEP = 'Zone data'
/** Least time between two lines about the progress, ms. */
const PROGRESS_INTERVAL_MS = 5_000

/**
 * Due instants are stored, so they are derived again after a change of the zone data or of the program. What the pages can
 * serve meanwhile is left to `deriveWhileServing`; everything else is derived now.
 */
export async function deriveBeforeServing(url: string): Promise<void> {
  const pool = openAppPool(url)
  try {
    await runStep(STEP, async () => {
      const outdated = await findOutdatedRows(pool)
      if (!outdated) return { summary: 'Unchanged since the samples were last computed.', value: undefined }
      const { from, to } = outdated
      if (from !== undefined && isServed(from))
        return { summary: `Now ${to}, was ${from}: recomputed while Holdfast serves.`, value: undefined }
      const result = await ensureDerived(pool, Date.now(), { onProgress: reportProgress() })
      const summary = result
        ? [`Now ${to}, was ${from}: ${result.samples} samples recomputed.`, ...formatMoved(result.movedDues)]
        : ['All samples are computed.']
      return { summary: summary.join('\n'), value: undefined }
    })
  } finally {
    await pool.end()
  }
}

/**
 * Derives outdated rows in the background.
 * @returns a function that stops it; the next start goes on from there.
 */
export function deriveWhileServing(url: string): () => Promise<void> {
  const pool = openAppPool(url, { max: 2 })
  const stop = new AbortController()
  const done = ensureDerived(pool, Date.now(), { onProgress: reportProgress(), signal: stop.signal })
    .then((result) => {
      if (!result) return
      const head = `Now ${result.to}: all samples recomputed, ${result.movedDues.length} deadlines moved.`
      log('✓', STEP, [head, ...formatMoved(result.movedDues)].join('\n'))
    })
    .catch((error) => {
      if (!stop.signal.aborted)
        log('!', STEP, `Recomputing stopped: ${formatError(error)}\nThe next start goes on from there.`)
    })
    .finally(() => pool.end())
  return async () => {
    stop.abort()
    await done
  }
}

/** Prints how far the work is, now and then. */
export function reportProgress(name = STEP): NonNullable<RebuildOptions['onProgress']> {
  let printedAt = performance.now()
  return ({ done, total }) => {
    if (performance.now() - printedAt < PROGRESS_INTERVAL_MS) return
    printedAt = performance.now()
    log('·', name, `${done} of ${Math.max(done, total)} samples recomputed.`)
  }
}

function formatMoved(moved: readonly MovedDue[]): string[] {
  return moved.map(({ code, limit, beforeAt, afterAt }) => {
    return `${code}, ${limit}: due moved from ${formatInstant(beforeAt)} to ${formatInstant(afterAt)}`
  })
}

function formatInstant(at: number | null): string {
  return at === null ? 'none' : new Date(at).toISOString()
}
