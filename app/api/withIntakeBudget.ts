import { getIntakeBudget } from '@/lib/access/session/intakeBudget'
import { problemReply } from '@/lib/intake/answers/reply'
import { BodyLimitError } from '@/lib/intake/formats/limits'
import { problem } from '@/lib/intake/formats/problem'
import { readBody } from '@/lib/intake/formats/readBody'
import type { Principal } from '@/lib/policy/principal'
import { letOthersGoFirst, TimeSlices } from '@/lib/store/scope/timeSlices'
import { tooManyRequestsReply } from './authorize'

/** What a body costs its principal: the items that were read so far, and the time of the slices. */
export interface IntakeCost {
  items: number
  slices: TimeSlices
}

/** Seconds after which the sender of a second bulk body asks again: most bulk bodies take less. */
const BULK_WAIT_SECONDS = 5

const USED_UP = 'This minute’s budget of items or of computing time is used up.'

const BULK_BUSY = problem(
  'bulk-busy',
  429,
  'Another large body is being read',
  `Bodies over 256 KiB are taken one at a time. Wait ${BULK_WAIT_SECONDS} s, then send it again.`,
)

export interface IntakeBody {
  maxBytes: number
  /** Bulk bodies of one name are handled one at a time; default: those of one principal. */
  bulkName?: string
}

/**
 * Reads a body and handles it within the budget of its principal. Answers 429 with Retry-After if the budget of this
 * minute is used up, or if another bulk body of the name is being handled, 400 if `handle` throws a SyntaxError, and 413 if
 * it throws a BodyLimitError.
 */
export async function withIntakeBudget(
  principal: Principal,
  request: Request,
  { maxBytes, bulkName }: IntakeBody,
  handle: (body: string, cost: IntakeCost) => Promise<Response>,
): Promise<Response> {
  const budget = getIntakeBudget()
  const name = `${principal.kind} ${principal.id}`
  // Those of its bodies that came before may have used the budget up while this one waited for its turn.
  const waitSeconds = await budget.getWaitSeconds(name)
  if (waitSeconds > 0) return tooManyRequestsReply(waitSeconds, USED_UP)
  const cost: IntakeCost = { items: 0, slices: new TimeSlices() }
  let isBulk = false
  try {
    const admitBulk = () => {
      isBulk = budget.beginBulk(bulkName ?? name)
      return isBulk ? null : BULK_BUSY
    }
    const body = await readBody(request, maxBytes, admitBulk, letOthersGoFirst)
    if (typeof body === 'string')
      return isBulk ? await budget.handleBulk(() => handle(body, cost)) : await handle(body, cost)
    const reply = problemReply(body)
    if (body === BULK_BUSY) reply.headers.set('retry-after', String(BULK_WAIT_SECONDS))
    return reply
  } catch (error) {
    if (error instanceof SyntaxError)
      return problemReply(problem('unreadable-body', 400, 'Body cannot be read', error.message))
    if (error instanceof BodyLimitError)
      return problemReply(problem(`too-many-${error.what}`, 413, `Too many ${error.what}`, error.message))
    throw error
  } finally {
    if (isBulk) budget.endBulk(bulkName ?? name)
    await budget.charge(name, { items: cost.items, computingMs: cost.slices.spentMs })
  }
}
