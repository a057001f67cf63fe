import { RateLimiterMemory, RateLimiterRes } from 'rate-limiter-flexible'

/** Default limit of requests per minute for one person or key. */
const REQUESTS_PER_MINUTE = 600
/** Limit of refused requests per minute for one network address. */
const REFUSALS_PER_MINUTE = 60

/** Rate limits: request counters per principal and per address, with a one-minute window. */
export interface RateLimits {
  /** Counts a request. Returns the seconds to wait if the limit is exceeded, else 0. */
  count(principal: string): Promise<number>
  /** The seconds an address must wait after too many refusals, else 0. */
  getWaitSeconds(address: string): Promise<number>
  countRefusal(address: string): Promise<void>
}

/**
 * Limits kept in the memory of this process: each server of a database has its own, and a restart resets them. They
 * stop a runaway machine and make guessing pointless; they do not stop a flood.
 */
export function makeRateLimits(requests = REQUESTS_PER_MINUTE, refusals = REFUSALS_PER_MINUTE): RateLimits {
  const byPrincipal = new RateLimiterMemory({ points: requests, duration: 60 })
  const byAddress = new RateLimiterMemory({ points: refusals, duration: 60 })
  return {
    async count(principal) {
      try {
        await byPrincipal.consume(principal)
        return 0
      } catch (limit) {
        if (limit instanceof RateLimiterRes) return secondsUntilReset(limit)
        throw limit
      }
    },
    async getWaitSeconds(address) {
      const known = await byAddress.get(address)
      return known && known.consumedPoints >= refusals ? secondsUntilReset(known) : 0
    },
    async countRefusal(address) {
      await byAddress.penalty(address)
    },
  }
}

export function secondsUntilReset({ msBeforeNext }: RateLimiterRes): number {
  return Math.max(1, Math.ceil(msBeforeNext / 1_000))
}

const shared = globalThis as typeof globalThis & { holdfastRateLimits?: RateLimits }

/** The limits of this process, kept on `globalThis`, because Next may load a module more than once in one process. */
export function getRateLimits(requests: number): RateLimits {
  shared.holdfastRateLimits ??= makeRateLimits(requests)
  return shared.holdfastRateLimits
}
