import { toActor } from '@/lib/access/session/actor'
import { redirect303 } from '@/lib/access/session/signIn'
import { endSessions } from '@/lib/store/people/sessions'
import { getAuthPool } from '@/lib/store/scope/sharedPool'
import { authorize } from '../../../authorize'
import { readShortForm } from '../../../shortForm'
import { withErrorHandling } from '../../../withErrorHandling'

/** Ends the session `id` of a person, or without an id all their sessions. */
export const POST = withErrorHandling(async (request: Request) => {
  const principal = await authorize('POST /api/setup/people/sessions', request)
  if (principal instanceof Response) return principal
  const form = await readShortForm(request)
  if (form instanceof Response) return form
  const person = form.get('person') ?? ''
  const id = form.get('id')
  const which = id === null ? 'all' : { id }
  await endSessions(getAuthPool(), person, which, toActor(principal, request), Date.now())
  return redirect303(`/setup/people/${encodeURIComponent(person)}`)
})
