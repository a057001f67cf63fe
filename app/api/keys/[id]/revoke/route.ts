import { toActor } from '@/lib/access/session/actor'
import { redirect303 } from '@/lib/access/session/signIn'
import { revokeKey } from '@/lib/store/people/keys'
import { getAuthPool } from '@/lib/store/scope/sharedPool'
import { authorize } from '../../../authorize'
import { withErrorHandling } from '../../../withErrorHandling'

/** Revokes a key. */
export const POST = withErrorHandling(
  async (request: Request, context: { params: Promise<{ id: string }> }) => {
    const principal = await authorize('POST /api/keys/[id]/revoke', request)
    if (principal instanceof Response) return principal
    const { id } = await context.params
    const isRevoked = await revokeKey(getAuthPool(), id, toActor(principal, request), Date.now())
    return redirect303(`/keys?revoked=${isRevoked ? 'yes' : 'none'}`)
  },
)
