import { toActor } from '@/lib/access/session/actor'
import { redirect303 } from '@/lib/access/session/signIn'
import { revokeFeed } from '@/lib/digest/calendar/plantFeeds'
import { authorize } from '../../../../authorize'
import { withErrorHandling } from '../../../../withErrorHandling'

/** Revokes the address of a calendar. */
export const POST = withErrorHandling(
  async (request: Request, context: { params: Promise<{ id: string }> }) => {
    const principal = await authorize('POST /api/due/feeds/[id]/revoke', request)
    if (principal instanceof Response) return principal
    if (principal.kind !== 'person') return redirect303('/due')
    const isRevoked = await revokeFeed(principal, (await context.params).id, toActor(principal, request))
    return redirect303(`/due?revoked=${isRevoked ? 'yes' : 'none'}#calendars`)
  },
)
