import { jsonReply, problemReply } from '@/lib/intake/answers/reply'
import { problem } from '@/lib/intake/formats/problem'
import { getScope } from '@/lib/policy/principal'
import { getBoard } from '@/lib/store/read/board'
import { getAppPool } from '@/lib/store/scope/sharedPool'
import { authorize } from '../authorize'
import { withErrorHandling } from '../withErrorHandling'
import { boardFilterSchema } from './boardFilterSchema'

/** The board as JSON, for a board that stays open. */
export const GET = withErrorHandling(async (request: Request) => {
  const principal = await authorize('GET /api/board', request)
  if (principal instanceof Response) return principal
  const parsed = boardFilterSchema.safeParse(Object.fromEntries(new URL(request.url).searchParams))
  if (parsed.success)
    return jsonReply(await getBoard(getAppPool(), getScope(principal), parsed.data, Date.now()))
  const detail = parsed.error.issues.map((issue) => issue.message).join(' ')
  return problemReply(problem('filter', 400, 'Filter cannot be used', detail))
})
