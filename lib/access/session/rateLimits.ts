import { type RateLimiterAbstract, RateLimiterMemory, RateLimiterRes } from 'rate-limiter-flexible'

/** Default limit of requests per minute for one person or key. */
const REQUESTS_PER_MINUTE = 600

/** Request counters per principal, with a one-minute window. */
export interface RateLimits {
  /** Counts a request. Returns the seconds to wait if the limit is exceeded, else 0. */
  count(principal: string): Promise<number>
}

/**
 * Limits kept in the memory of this process: each server of a database has its own, and a restart resets them. They
 * stop a runaway machine, not a flood; what someone may guess is counted over all servers (`guessLimit.ts`).
 */
export function makeRateLimits(requests = REQUESTS_PER_MINUTE): RateLimits {
  const byPrincipal = new RateLimiterMemory({ points: requests, duration: 60 })
  return { count: (principal) => consumePoint(byPrincipal, principal) }
}

/** Counts one of `name`. Returns the seconds to wait if its limit is exceeded, else 0. */
export async function consumePoint(limiter: RateLimiterAbstract, name: string): Promise<number> {
  try {
    await limiter.consume(name)
    return 0
  } catch (limit) {
    if (limit instanceof RateLimiterRes) return secondsUntilReset(limit)
    throw limit
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
