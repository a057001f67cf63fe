import { actorOf } from '@/lib/access/session/actor'
import { leadTo } from '@/lib/access/session/signedIn'
import { makeFeedFor } from '@/lib/digest/calendar/plantFeeds'
import { answering } from '../../answering'
import { asked } from '../../asked'
import { shortForm } from '../../shortForm'

/** Makes a secret address for the calendar of a plant of the asker's, and leads to where it is shown once. */
export const POST = answering(async (request: Request) => {
  const principal = await asked('POST /api/due/feeds', request)
  if (principal instanceof Response) return principal
  const form = await shortForm(request)
  if (form instanceof Response) return form
  if (principal.kind !== 'person') return leadTo('/due')
  const ticket = await makeFeedFor(principal, form.get('plant') ?? '', actorOf(principal, request))
  return leadTo(ticket === null ? '/due?made=none#calendars' : `/due?made=${ticket}#calendars`)
})
