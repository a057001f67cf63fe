import { actorOf } from '@/lib/access/session/actor'
import { leadTo } from '@/lib/access/session/signedIn'
import { revokeFeed } from '@/lib/digest/calendar/plantFeeds'
import { answering } from '../../../../answering'
import { asked } from '../../../../asked'

/** Revokes the address of a calendar at once, and leads back to the page of what is due. */
export const POST = answering(async (request: Request, context: { params: Promise<{ id: string }> }) => {
  const principal = await asked('POST /api/due/feeds/[id]/revoke', request)
  if (principal instanceof Response) return principal
  if (principal.kind !== 'person') return leadTo('/due')
  const isRevoked = await revokeFeed(principal, (await context.params).id, actorOf(principal, request))
  return leadTo(`/due?revoked=${isRevoked ? 'yes' : 'none'}#calendars`)
})
