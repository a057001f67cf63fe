import type pg from 'pg'
import { command } from '../scope/statement'

const prunedAt = new WeakMap<pg.Pool, number>()
const PRUNED_EVERY = 60_000

const PRUNE = command('delete from used_signature where used_at < $1')
const SPEND = command('insert into used_signature (digest, used_at) values ($1, $2) on conflict do nothing')

/**
 * Notes at `now` (ms UTC) that a signature was used, over all servers of the database; false where it had been used
 * before. What is too old to be accepted in any case is forgotten.
 */
export async function spendSignature(door: pg.Pool, digest: Buffer, now: number): Promise<boolean> {
  if (now - (prunedAt.get(door) ?? 0) >= PRUNED_EVERY) {
    prunedAt.set(door, now)
    // One that was made five minutes ahead of us can be used until five minutes after that.
    await PRUNE.run(door, [new Date(now - 2 * CLOCK_SKEW)])
  }
  return (await SPEND.run(door, [digest, new Date(now)])) === 1
}

/** How far a signature's time may lie from ours, either way, ms. */
export const CLOCK_SKEW = 5 * 60_000
