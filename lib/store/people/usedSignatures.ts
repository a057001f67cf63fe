import type pg from 'pg'
import { command } from '../scope/statement'

/** Maximum difference between a signature's time and ours, either way, ms. */
export const MAX_CLOCK_SKEW_MS = 5 * 60_000
const PRUNE_INTERVAL_MS = 60_000
/** A clock that moves so little against the time since the start is set right in small steps and does not jump, ms. */
const MAX_DRIFT_MS = 60_000
/** A signature made five minutes ahead of our clock stays valid until five minutes after its own time. */
const KEPT_MS = 2 * MAX_CLOCK_SKEW_MS + MAX_DRIFT_MS

/** What a process knows of the clock since its last jump. Times since the start in ms. */
interface SteadyClock {
  sinceUpMs: number
  /** The clock less the time since the start, ms. */
  offsetMs: number
  prunedUpMs: number
}

const clocks = new WeakMap<pg.Pool, SteadyClock>()

const PRUNE = command('delete from used_signature where used_at < $1')
const INSERT_USED = command(
  'insert into used_signature (digest, used_at) values ($1, $2) on conflict do nothing',
)

/**
 * Marks a signature as used, over all servers of the database; false if it was used before. Deletes those too old to be
 * accepted. `now` in ms UTC; `upMs`: the time since the start, which does not jump as a clock does.
 */
export async function consumeSignature(
  authPool: pg.Pool,
  digest: Buffer,
  now: number,
  upMs = performance.now(),
): Promise<boolean> {
  if (shouldPrune(authPool, now, upMs)) await PRUNE.run(authPool, [new Date(now - KEPT_MS)])
  return (await INSERT_USED.run(authPool, [digest, new Date(now)])) === 1
}

/**
 * Whether what is too old by the clock is so in truth: the clock has not jumped for as long as a signature is kept. A clock
 * that goes days ahead and soon back would else delete signatures that are then timely again. This does not help against a clock
 * that goes back behind the true time: every signature of that time is timely again, and used ones are long deleted.
 */
function shouldPrune(authPool: pg.Pool, now: number, upMs: number): boolean {
  const offsetMs = now - upMs
  const known = clocks.get(authPool)
  if (!known || Math.abs(offsetMs - known.offsetMs) > MAX_DRIFT_MS) {
    clocks.set(authPool, { sinceUpMs: upMs, offsetMs, prunedUpMs: Number.NEGATIVE_INFINITY })
    return false
  }
  if (upMs - known.sinceUpMs < KEPT_MS || upMs - known.prunedUpMs < PRUNE_INTERVAL_MS) return false
  known.prunedUpMs = upMs
  return true
}
