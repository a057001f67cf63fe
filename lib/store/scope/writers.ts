import type pg from 'pg'
import { WriterQueue } from './writerQueue'

/**
 * A request waits at most this long for its turn and then as long again for a lock (`LOCK_TIMEOUT_MS`), so that its
 * answer comes before the usual 60 s of a proxy. A hundred waiting are some seconds of work, and their bodies fit into
 * memory.
 */
const LIMITS = { capacity: 100, maxWaitMs: 15_000 }

/** What a pool of readers knows of its writers. Symbols, because Next may load a module more than once in one process. */
const WRITERS = Symbol.for('holdfast.writers')
const QUEUE = Symbol.for('holdfast.writerQueue')
type Known = pg.Pool & { [WRITERS]?: pg.Pool; [QUEUE]?: WriterQueue }

/** Has everything written on behalf of `pool` use the connections of `writers`, so that readers never wait for them. */
export function giveWriters(pool: pg.Pool, writers: pg.Pool): pg.Pool {
  const known: Known = pool
  known[WRITERS] = writers
  return pool
}

/** The pool that writes on behalf of `pool`: its own, or else itself. */
export function getWriters(pool: pg.Pool): pg.Pool {
  const known: Known = pool
  return known[WRITERS] ?? pool
}

/** The queue of the writers of a pool. */
export function getWriterQueue(pool: pg.Pool): WriterQueue {
  const known: Known = getWriters(pool)
  known[QUEUE] ??= new WriterQueue(LIMITS)
  return known[QUEUE]
}
