import { type RefusedAttempt, RefusedAttempts } from '@/lib/store/people/refusedAttempts'
import { record } from '@/lib/store/scope/audit'
import { sharedDoor } from '@/lib/store/scope/sharedPool'

const shared = globalThis as typeof globalThis & { holdfastRefused?: RefusedAttempts }

/**
 * Puts a refused attempt on record, summed with others of its kind and minute. It never fails and keeps nobody
 * waiting: a refusal is answered whether or not it could be recorded, and what could not is said in the server's log.
 */
export function refusedAttempt(attempt: RefusedAttempt): void {
  attempts().note(attempt, Date.now()).catch(say)
}

/** Kept on `globalThis`, because Next loads a module more than once in one process. */
function attempts(): RefusedAttempts {
  if (shared.holdfastRefused) return shared.holdfastRefused
  const made = new RefusedAttempts(async (lines) => {
    for (const { actor, line, at } of lines) await record(sharedDoor(), actor, [line], at)
  })
  setInterval(() => made.settle(Date.now()).catch(say), 5_000).unref()
  shared.holdfastRefused = made
  return made
}

function say(error: unknown): void {
  console.error(`A refused attempt could not be recorded: ${(error as Error).message}`)
}
