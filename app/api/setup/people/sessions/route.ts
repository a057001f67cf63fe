import { actorOf } from '@/lib/access/session/actor'
import { leadTo } from '@/lib/access/session/signedIn'
import { endSessions } from '@/lib/store/people/sessions'
import { sharedDoor } from '@/lib/store/scope/sharedPool'
import { answering } from '../../../answering'
import { asked } from '../../../asked'
import { shortForm } from '../../../shortForm'

/** Ends the session of another person that an administrator names, or without a name all of theirs. */
export const POST = answering(async (request: Request) => {
  const principal = await asked('POST /api/setup/people/sessions', request)
  if (principal instanceof Response) return principal
  const form = await shortForm(request)
  if (form instanceof Response) return form
  const person = form.get('person') ?? ''
  const id = form.get('id')
  const which = id === null ? 'all' : { id }
  await endSessions(sharedDoor(), person, which, actorOf(principal, request), Date.now())
  return leadTo(`/setup/people/${encodeURIComponent(person)}`)
})
