import { toActor } from '@/lib/access/session/actor'
import { redirect303 } from '@/lib/access/session/signIn'
import { createFeed } from '@/lib/digest/calendar/plantFeeds'
import { authorize } from '../../authorize'
import { readShortForm } from '../../shortForm'
import { withErrorHandling } from '../../withErrorHandling'

/**
 * Creates a secret address for the calendar of one of the person's plants, and leads to the page that shows it once.
 */
export const POST = withErrorHandling(async (request: Request) => {
  const principal = await authorize('POST /api/due/feeds', request)
  if (principal instanceof Response) return principal
  const form = await readShortForm(request)
  if (form instanceof Response) return form
  if (principal.kind !== 'person') return redirect303('/due')
  const ticket = await createFeed(principal, form.get('plant') ?? '', toActor(principal, request))
  return redirect303(ticket === null ? '/due?made=none#calendars' : `/due?made=${ticket}#calendars`)
})
