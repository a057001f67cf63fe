import { jsonReply } from '@/lib/intake/answers/reply'
import { english } from '@/lib/messages/english'
import { getReadiness } from '@/lib/store/server/readiness'
import { allowAnonymous } from '../authorize'

/** Whether this server can serve: 200, or 503 if its database cannot. Each part in a short sentence, for anyone. */
export async function GET(request: Request): Promise<Response> {
  const refusal = allowAnonymous('GET /api/ready', request)
  if (refusal) return refusal
  const { isReady, checks } = await getReadiness()
  const reply = jsonReply(
    {
      ready: isReady,
      checks: checks.map(({ name, state, fault, says }) => ({
        name,
        state,
        fault,
        says: english.message(says),
      })),
    },
    isReady ? 200 : 503,
  )
  if (!isReady) reply.headers.set('retry-after', '5')
  return reply
}
