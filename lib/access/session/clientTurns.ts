import type { IncomingMessage, ServerResponse } from 'node:http'
import { letOthersGoFirst } from '@/lib/store/scope/timeSlices'
import { CLIENT_HEADER } from './actor'
import { TooManyWaiting, Turns } from './turns'

/**
 * A browser opens six connections to a site. More may not wait than `lib/commands/connections.mjs` leaves open, and none
 * for as long as the 20 s after which a body counts as stalled there.
 */
const LIMITS = { atOnce: 6, maxWaiting: 256, maxWaitMs: 15_000 }
/** A request that takes longer, ms, mostly waits: for a client that sends or reads slowly, or for a lock. */
const MAX_HELD_MS = 10_000
/** Seconds. */
const RETRY_AFTER = '5'

const turns = new Turns(LIMITS)

/**
 * Answers a request by `answer` when the turn of its client comes, before anything is known of who sends it. What reads
 * has turns of its own, so that a machine that sends much does not hold up the people beside it. Answers 429 if the wait
 * is too long.
 */
export async function answerInTurn(
  request: IncomingMessage,
  response: ServerResponse,
  answer: () => unknown,
): Promise<void> {
  const isReading = request.method === 'GET' || request.method === 'HEAD'
  const end = await takeTurn(`${isReading ? 'reads' : 'writes'} of ${request.headers[CLIENT_HEADER]}`)
  if (end === null) {
    response.writeHead(429, { 'content-type': 'text/plain; charset=utf-8', 'retry-after': RETRY_AFTER })
    response.end('Your address has too many requests open already. Let some end, then try again.\n')
    return
  }
  const timer = setTimeout(end, MAX_HELD_MS)
  try {
    // One write begins at a time, as one slice of long work goes on at a time: many clients are many turns.
    if (!isReading) await letOthersGoFirst()
    if (!request.socket.destroyed) await answer()
  } finally {
    clearTimeout(timer)
    end()
  }
}

async function takeTurn(name: string): Promise<(() => void) | null> {
  try {
    return await turns.take(name)
  } catch (error) {
    if (error instanceof TooManyWaiting) return null
    throw error
  }
}
