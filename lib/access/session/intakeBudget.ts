import { RateLimiterMemory } from 'rate-limiter-flexible'
import { getEnvironment } from '@/lib/store/environment'
import { secondsUntilReset } from './rateLimits'

/** Items a minute for each request a minute: 300,000 with the default of 600 requests. */
const ITEMS_PER_REQUEST = 500
/** Computing time of one principal a minute, ms: half of one processor. */
const COMPUTING_MS_PER_MINUTE = 30_000
/**
 * Bodies of one principal that are handled at a time, while its others wait as text: what a body costs is known only after
 * it, so the more run at once, the further they go beyond the budget.
 */
const MAX_HANDLED_OF_PRINCIPAL = 4
/** Bulk bodies at a time, of all principals. */
const MAX_BULK_BODIES = 4
/** Those of them that are handled while the others wait as text: each takes up to 150 MB of memory, and there is one writer. */
const MAX_BULK_HANDLED = 1

/** What the bodies of each principal may cost, in a window of one minute, and how many bulk bodies run at a time. */
export interface IntakeBudget {
  /** The seconds that a principal must wait because it has used up its budget, else 0. */
  getWaitSeconds(principal: string): Promise<number>
  /** Takes what a body has cost from the budget. A body that was begun is finished, whatever it costs. */
  charge(principal: string, cost: { items: number; computingMs: number }): Promise<void>
  /** Waits until a body of this principal, read by now, may be handled; `endTurn` must follow. */
  awaitTurn(principal: string): Promise<void>
  endTurn(principal: string): void
  /** Whether a bulk body of this name may begin; if so, `endBulk` must follow. */
  beginBulk(name: string): boolean
  /** Waits until the bulk body of this name, read by now, may be handled. */
  awaitBulkTurn(name: string): Promise<void>
  endBulk(name: string): void
}

/** Kept in the memory of this process, as the other limits are. */
export function makeIntakeBudget(requestsPerMinute: number): IntakeBudget {
  const maxItems = requestsPerMinute * ITEMS_PER_REQUEST
  const items = new RateLimiterMemory({ keyPrefix: 'items', points: maxItems, duration: 60 })
  const computing = new RateLimiterMemory({
    keyPrefix: 'computing',
    points: COMPUTING_MS_PER_MINUTE,
    duration: 60,
  })
  const bulk = new Set<string>()
  const handled = new Set<string>()
  const waiting: (() => void)[] = []
  const turns = new Map<string, { taken: number; waiting: (() => void)[] }>()
  return {
    async getWaitSeconds(principal) {
      const used = await Promise.all([items.get(principal), computing.get(principal)])
      const [usedItems, usedMs] = used
      const waits = [
        usedItems && usedItems.consumedPoints >= maxItems ? secondsUntilReset(usedItems) : 0,
        usedMs && usedMs.consumedPoints >= COMPUTING_MS_PER_MINUTE ? secondsUntilReset(usedMs) : 0,
      ]
      return Math.max(...waits)
    },
    async charge(principal, cost) {
      await items.penalty(principal, cost.items)
      await computing.penalty(principal, Math.ceil(cost.computingMs))
    },
    async awaitTurn(principal) {
      const known = turns.get(principal) ?? { taken: 0, waiting: [] }
      turns.set(principal, known)
      if (known.taken < MAX_HANDLED_OF_PRINCIPAL) known.taken += 1
      // The one before passes its turn on.
      else await new Promise<void>((resolve) => known.waiting.push(resolve))
    },
    endTurn(principal) {
      const known = turns.get(principal)
      const next = known?.waiting.shift()
      if (next) next()
      else if (known && known.taken > 1) known.taken -= 1
      else turns.delete(principal)
    },
    beginBulk(name) {
      if (bulk.has(name) || bulk.size >= MAX_BULK_BODIES) return false
      bulk.add(name)
      return true
    },
    async awaitBulkTurn(name) {
      if (handled.size >= MAX_BULK_HANDLED) await new Promise<void>((resolve) => waiting.push(resolve))
      handled.add(name)
    },
    endBulk(name) {
      bulk.delete(name)
      if (handled.delete(name)) waiting.shift()?.()
    },
  }
}

const shared = globalThis as typeof globalThis & { holdfastIntakeBudget?: IntakeBudget }

/** The budget of this process, kept on `globalThis`, because Next may load a module more than once in one process. */
export function getIntakeBudget(): IntakeBudget {
  shared.holdfastIntakeBudget ??= makeIntakeBudget(getEnvironment().requestsPerMinute)
  return shared.holdfastIntakeBudget
}
