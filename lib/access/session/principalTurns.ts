import type { Principal } from '@/lib/policy/principal'
import { getRequestContext } from '@/lib/telemetry/requestContext'
import { TooManyWaiting, Turns } from './turns'

/**
 * What a body costs is known only after it, so the more run at once, the further they go beyond the budget of their
 * principal. Four are also the most places that one principal takes in the queue of writers, which has a hundred.
 * A wait ends before a proxy gives up, together with one in that queue and one for a lock.
 */
const LIMITS = { atOnce: 4, maxWaiting: 60, maxWaitMs: 15_000 }

const shared = globalThis as typeof globalThis & { holdfastPrincipalTurns?: Turns }

/** Kept on `globalThis`, because Next may load a module more than once in one process. */
function getTurns(): Turns {
  shared.holdfastPrincipalTurns ??= new Turns(LIMITS)
  return shared.holdfastPrincipalTurns
}

/**
 * Waits until this request of a principal may go on; the body is not read meanwhile. What reads has turns of its own, because
 * a writer may wait for a lock, and readers never wait for writers. Returns false if too many of its
 * requests wait, or this one did for too long. The turn lasts until `endPrincipalTurn`, even if the client is gone
 * before.
 */
export async function takePrincipalTurn(principal: Principal, isReading: boolean): Promise<boolean> {
  const context = getRequestContext()
  if (!context || context.endTurn) return true
  try {
    context.endTurn = await getTurns().take(
      `${isReading ? 'reads' : 'writes'} of ${principal.kind} ${principal.id}`,
    )
    return true
  } catch (error) {
    if (error instanceof TooManyWaiting) return false
    throw error
  }
}

/** Ends the turn of this request, if it has one. */
export function endPrincipalTurn(): void {
  const context = getRequestContext()
  context?.endTurn?.()
  if (context) context.endTurn = null
}
