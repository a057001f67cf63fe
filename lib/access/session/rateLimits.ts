import { RateLimiterMemory, RateLimiterRes } from 'rate-limiter-flexible'

/** Requests a minute that one person or key is answered, unless the environment says otherwise. */
const REQUESTS_PER_MINUTE = 600
/** Requests a minute that one network address may make without being let in. */
const REFUSALS_PER_MINUTE = 60

/** Counts what a person, a key or an address did in the last minute. */
export interface RateLimits {
  /** Counts a request of a principal; the seconds to wait where it was one too many, else 0. */
  count(principal: string): Promise<number>
  /** The seconds to wait for an address that was refused too often, else 0. */
  getWaitSeconds(address: string): Promise<number>
  /** Counts a refusal of an address. */
  countRefusal(address: string): Promise<void>
}

/**
 * Limits that this process keeps in memory: several servers on one database each keep their own, and a start begins
 * anew. They hold off a machine that runs wild and make guessing pointless; they are no shield against a flood.
 */
export function makeRateLimits(requests = REQUESTS_PER_MINUTE, refusals = REFUSALS_PER_MINUTE): RateLimits {
  const ofPrincipal = new RateLimiterMemory({ points: requests, duration: 60 })
  const ofAddress = new RateLimiterMemory({ points: refusals, duration: 60 })
  return {
    async count(principal) {
      try {
        await ofPrincipal.consume(principal)
        return 0
      } catch (limit) {
        if (limit instanceof RateLimiterRes) return toSeconds(limit)
        throw limit
      }
    },
    async getWaitSeconds(address) {
      const known = await ofAddress.get(address)
      return known && known.consumedPoints >= refusals ? toSeconds(known) : 0
    },
    async countRefusal(address) {
      await ofAddress.penalty(address)
    },
  }
}

function toSeconds({ msBeforeNext }: RateLimiterRes): number {
  return Math.max(1, Math.ceil(msBeforeNext / 1_000))
}

const shared = globalThis as typeof globalThis & { holdfastRateLimits?: RateLimits }

/** The limits of this process, kept on `globalThis`, because Next loads a module more than once in one process. */
export function getRateLimits(requests: number): RateLimits {
  shared.holdfastRateLimits ??= makeRateLimits(requests)
  return shared.holdfastRateLimits
}
