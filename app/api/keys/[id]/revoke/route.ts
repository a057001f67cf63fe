import { actorOf } from '@/lib/access/session/actor'
import { leadTo } from '@/lib/access/session/signedIn'
import { revokeKey } from '@/lib/store/people/keys'
import { sharedDoor } from '@/lib/store/scope/sharedPool'
import { answering } from '../../../answering'
import { asked } from '../../../asked'

/** Revokes a key at once, and leads back to the page of keys. */
export const POST = answering(async (request: Request, context: { params: Promise<{ id: string }> }) => {
  const principal = await asked('POST /api/keys/[id]/revoke', request)
  if (principal instanceof Response) return principal
  const { id } = await context.params
  const isRevoked = await revokeKey(sharedDoor(), id, actorOf(principal, request), Date.now())
  return leadTo(`/keys?revoked=${isRevoked ? 'yes' : 'none'}`)
})
