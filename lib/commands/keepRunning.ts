import { setTimeout as wait } from 'node:timers/promises'
import { formatError } from './steps'

/** A part of Holdfast that runs until it is stopped or dies. */
export interface Part {
  /** Called once if it ends without `stop`. */
  onDeath(listener: (why: string) => void): void
  stop(): Promise<void>
}

export interface KeepRunningOptions<T extends Part> {
  /** Starts the part; `before` is the one that died. */
  start: (before: T | null) => Promise<T>
  /** Gets a sentence that says why the part died, and the pause before it is started again. */
  onDeath: (why: string, pauseMs: number) => void
  /** Called once it runs again. */
  onRestart: (part: T) => void
  /** Whether a first start that fails is tried again, as a later one is, instead of thrown. */
  mayFailFirst?: boolean
  /** The first pause; default 1 s. */
  firstPauseMs?: number
}

const MAX_PAUSE_MS = 60_000
/** A part that ran this long has recovered: its next pause is the first one again, ms. */
export const RECOVERED_MS = 5 * 60_000

/** The pause before the next start, ms: doubles up to a minute while the part keeps dying. */
export function growPause(pauseMs: number | null, ranMs: number, firstPauseMs = 1_000): number {
  return pauseMs === null || ranMs >= RECOVERED_MS ? firstPauseMs : Math.min(2 * pauseMs, MAX_PAUSE_MS)
}

/**
 * Starts a part and starts it again whenever it dies, after a pause that grows.
 * @returns a function that stops it for good.
 * @throws whatever the first start throws.
 */
export async function keepRunning<T extends Part>(
  options: KeepRunningOptions<T>,
): Promise<() => Promise<void>> {
  const { start, onDeath, onRestart, mayFailFirst, firstPauseMs } = options
  const stopping = new AbortController()
  let part: T | null = null
  let pauseMs: number | null = null
  let startedAt = Date.now()
  let restarting = Promise.resolve()

  const watch = (started: T) =>
    started.onDeath((why) => {
      restarting = restart(why)
    })
  async function restart(reason: string) {
    for (let why = reason; !stopping.signal.aborted; ) {
      pauseMs = growPause(pauseMs, Date.now() - startedAt, firstPauseMs)
      onDeath(why, pauseMs)
      await wait(pauseMs, undefined, { signal: stopping.signal }).catch(() => {})
      if (stopping.signal.aborted) return
      startedAt = Date.now()
      try {
        part = await start(part)
      } catch (error) {
        why = formatError(error)
        continue
      }
      watch(part)
      if (!stopping.signal.aborted) onRestart(part)
      return
    }
  }

  try {
    part = await start(null)
    watch(part)
  } catch (error) {
    if (!mayFailFirst) throw error
    restarting = restart(formatError(error))
  }
  return async () => {
    stopping.abort()
    await restarting
    await part?.stop()
  }
}
