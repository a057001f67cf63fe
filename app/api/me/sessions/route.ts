import { endOwnSessions } from '@/lib/access/session/ownSignIn'
import { redirect303 } from '@/lib/access/session/signIn'
import { authorize } from '../../authorize'
import { readShortForm } from '../../shortForm'
import { withErrorHandling } from '../../withErrorHandling'

/** Ends the session `id`, or without an id all except the current one. */
export const POST = withErrorHandling(async (request: Request) => {
  const principal = await authorize('POST /api/me/sessions', request)
  if (principal instanceof Response) return principal
  const form = await readShortForm(request)
  if (form instanceof Response) return form
  if (principal.kind === 'person') await endOwnSessions(request, principal, form.get('id'))
  return redirect303('/me')
})
