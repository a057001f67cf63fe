import type pg from 'pg'
import { RateLimiterPostgres } from 'rate-limiter-flexible'
import { getAuthPool } from '@/lib/store/scope/sharedPool'
import { consumePoint } from './rateLimits'

/** Wrong secrets a minute, of one client and of one key id, before the answer is to wait. */
const GUESSES_PER_MINUTE = 60
/** Longer than the id of a key; a sender may name any. */
const MAX_ID_LENGTH = 40

/** Counts wrong secrets over all servers of a database. */
export interface GuessLimit {
  /**
   * Counts a wrong secret of a client that names keys by these ids, whether there are such keys or not. Call it only
   * after a secret has turned out wrong, so that a right one works whatever others send. Returns the seconds to wait
   * if the client or one of the ids had too many, else 0. Errors: the database's.
   */
  count(client: string, namedIds?: readonly string[]): Promise<number>
}

/** Beyond `points` this process refuses from memory, so that a flood writes nothing more to the database. */
export function makeGuessLimit(authPool: pg.Pool, points = GUESSES_PER_MINUTE): GuessLimit {
  const guesses = new RateLimiterPostgres({
    storeClient: authPool,
    tableName: 'guess_count',
    tableCreated: true,
    keyPrefix: '',
    points,
    duration: 60,
    inMemoryBlockOnConsumed: points,
  })
  return {
    async count(client, namedIds = []) {
      // A client that has to wait adds no rows for the ids it names.
      const waitSeconds = await consumePoint(guesses, `client ${client}`)
      if (waitSeconds > 0) return waitSeconds
      const names = new Set(namedIds.map((id) => `key ${id.slice(0, MAX_ID_LENGTH)}`))
      return Math.max(0, ...(await Promise.all([...names].map((name) => consumePoint(guesses, name)))))
    },
  }
}

const shared = globalThis as typeof globalThis & { holdfastGuessLimit?: GuessLimit }

/** Kept on `globalThis`, because Next may load a module more than once in one process. */
export function getGuessLimit(): GuessLimit {
  shared.holdfastGuessLimit ??= makeGuessLimit(getAuthPool())
  return shared.holdfastGuessLimit
}
