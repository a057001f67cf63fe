/** One answered request. */
export interface AnsweredRequest {
  id: string
  method: string
  /** As `matchRoute` names it. */
  route: string
  /** HTTP status; null if the client went away before the answer was whole. */
  status: number | null
  /** ms. */
  tookMs: number
  /** When it began, ms UTC. */
  at: number
}

export interface RecentRequests {
  /** Since when they are counted, ms UTC. */
  sinceAt: number
  count: number
  /** Answers of 500 and above. */
  failed: number
  /** Those that took long, slowest first. */
  slow: readonly AnsweredRequest[]
}

const MINUTE = 60_000
/** Requests of this many minutes are told. */
export const RECENT_MINUTES = 15
/** A request that takes longer is slow, ms. */
export const SLOW_MS = 1_000
const MAX_SLOW = 200

/** Counts of the last minutes of this process, and its slow requests. Its size does not grow with the requests. */
class Recent {
  readonly #startedAt = Date.now()
  readonly #minutes = new Map<number, { count: number; failed: number }>()
  #slow: AnsweredRequest[] = []

  add(request: AnsweredRequest): void {
    const minute = Math.floor(request.at / MINUTE)
    const counts = this.#minutes.get(minute) ?? { count: 0, failed: 0 }
    counts.count += 1
    if ((request.status ?? 0) >= 500) counts.failed += 1
    this.#minutes.set(minute, counts)
    if (request.tookMs >= SLOW_MS) this.#slow = [...this.#slow.slice(1 - MAX_SLOW), request]
    for (const old of this.#minutes.keys()) if (old < minute - 2 * RECENT_MINUTES) this.#minutes.delete(old)
  }

  /** `now` in ms UTC. */
  read(now: number): RecentRequests {
    const first = Math.floor(now / MINUTE) - RECENT_MINUTES + 1
    const sinceAt = Math.max(first * MINUTE, this.#startedAt)
    const counts = [...this.#minutes].filter(([minute]) => minute >= first).map(([, one]) => one)
    return {
      sinceAt,
      count: counts.reduce((sum, one) => sum + one.count, 0),
      failed: counts.reduce((sum, one) => sum + one.failed, 0),
      slow: this.#slow
        .filter(({ at, tookMs }) => at + tookMs >= sinceAt)
        .sort((one, other) => other.tookMs - one.tookMs),
    }
  }
}

const shared = globalThis as typeof globalThis & { holdfastRecent?: Recent }

/** The requests of this process. Kept on `globalThis`, because Next may load a module more than once in one process. */
export function getRecentRequests(): Recent {
  shared.holdfastRecent ??= new Recent()
  return shared.holdfastRecent
}
