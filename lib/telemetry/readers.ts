import type { EventEmitter } from 'node:events'
import { setTimeout as sleep } from 'node:timers/promises'

/** A reader goes first for this long, ms: as long as an answer may take. One whose client reads slowly holds nobody up. */
const PRIVILEGED_MS = 500
/** How often long work looks whether the readers are served, ms. */
const LOOK_MS = 2

const shared = globalThis as typeof globalThis & { holdfastReaders?: Map<EventEmitter, number> }

/** The responses to readers, each with when it was asked for. On `globalThis`, as Next may load a module more than once. */
function getReaders(): Map<EventEmitter, number> {
  shared.holdfastReaders ??= new Map()
  return shared.holdfastReaders
}

/** Notes that someone waits for this response, until it closes. */
export function noteReader(response: EventEmitter): void {
  const readers = getReaders()
  readers.set(response, performance.now())
  response.once('close', () => readers.delete(response))
}

/** Waits until no reader waits, at most until `deadline` (of `performance.now`). */
export async function letReadersGoFirst(deadline: number): Promise<void> {
  while (hasReaders() && performance.now() < deadline) await sleep(LOOK_MS)
}

function hasReaders(): boolean {
  const now = performance.now()
  for (const askedAt of getReaders().values()) if (now - askedAt < PRIVILEGED_MS) return true
  return false
}
