import { toActor } from '@/lib/access/session/actor'
import { redirect303 } from '@/lib/access/session/signIn'
import { createFeed } from '@/lib/digest/calendar/plantFeeds'
import { authorize } from '../../authorize'
import { readShortForm } from '../../shortForm'
import { withErrorHandling } from '../../withErrorHandling'

/** Makes a secret address for the calendar of a plant of the asker's, and leads to where it is shown once. */
export const POST = withErrorHandling(async (request: Request) => {
  const principal = await authorize('POST /api/due/feeds', request)
  if (principal instanceof Response) return principal
  const form = await readShortForm(request)
  if (form instanceof Response) return form
  if (principal.kind !== 'person') return redirect303('/due')
  const ticket = await createFeed(principal, form.get('plant') ?? '', toActor(principal, request))
  return redirect303(ticket === null ? '/due?made=none#calendars' : `/due?made=${ticket}#calendars`)
})
