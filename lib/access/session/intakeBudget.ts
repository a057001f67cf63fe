import pLimit from 'p-limit'
import { RateLimiterMemory } from 'rate-limiter-flexible'
import { getEnvironment } from '@/lib/store/environment'
import { secondsUntilReset } from './rateLimits'

/** Items a minute for each request a minute: 300,000 with the default of 600 requests. */
const ITEMS_PER_REQUEST = 500
/** Computing time of one principal a minute, ms: half of one processor. */
const COMPUTING_MS_PER_MINUTE = 30_000
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
  /** Whether a bulk body of this name may begin; if so, `endBulk` must follow. */
  beginBulk(name: string): boolean
  endBulk(name: string): void
  /** Handles a bulk body, read by now, when its turn comes. */
  handleBulk<T>(handle: () => Promise<T>): Promise<T>
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
  const handleBulk = pLimit(MAX_BULK_HANDLED)
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
    beginBulk(name) {
      if (bulk.has(name) || bulk.size >= MAX_BULK_BODIES) return false
      bulk.add(name)
      return true
    },
    endBulk(name) {
      bulk.delete(name)
    },
    handleBulk: (handle) => handleBulk(handle),
  }
}

const shared = globalThis as typeof globalThis & { holdfastIntakeBudget?: IntakeBudget }

/** The budget of this process, kept on `globalThis`, because Next may load a module more than once in one process. */
export function getIntakeBudget(): IntakeBudget {
  shared.holdfastIntakeBudget ??= makeIntakeBudget(getEnvironment().requestsPerMinute)
  return shared.holdfastIntakeBudget
}
