import { boardFilter } from '@/app/(board)/boardAddress'
import { jsonReply, problemReply } from '@/lib/intake/answers/reply'
import { problem } from '@/lib/intake/formats/problem'
import { scopeOf } from '@/lib/policy/principal'
import { board } from '@/lib/store/read/board'
import { sharedPool } from '@/lib/store/scope/sharedPool'
import { answering } from '../answering'
import { asked } from '../asked'

/** The board as JSON, for a page that stays open. */
export const GET = answering(async (request: Request) => {
  const principal = await asked('GET /api/board', request)
  if (principal instanceof Response) return principal
  const parsed = boardFilter.safeParse(Object.fromEntries(new URL(request.url).searchParams))
  if (parsed.success) return jsonReply(await board(sharedPool(), scopeOf(principal), parsed.data, Date.now()))
  const detail = parsed.error.issues.map((issue) => issue.message).join(' ')
  return problemReply(problem('filter', 400, 'Filter cannot be used', detail))
})
