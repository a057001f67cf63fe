import { toActor } from '@/lib/access/session/actor'
import { redirect303 } from '@/lib/access/session/signIn'
import { removePasskey } from '@/lib/store/people/sessions'
import { getAuthPool } from '@/lib/store/scope/sharedPool'
import { authorize } from '../../authorize'
import { readShortForm } from '../../shortForm'
import { withErrorHandling } from '../../withErrorHandling'

/** Removes a passkey. */
export const POST = withErrorHandling(async (request: Request) => {
  const principal = await authorize('POST /api/me/passkeys', request)
  if (principal instanceof Response) return principal
  const form = await readShortForm(request)
  if (form instanceof Response) return form
  const actor = toActor(principal, request)
  await removePasskey(getAuthPool(), principal.id, form.get('id') ?? '', actor, Date.now())
  return redirect303('/me')
})
