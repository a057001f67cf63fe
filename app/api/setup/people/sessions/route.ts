import { endSessionsOf } from '@/lib/access/own'
import { leadTo } from '@/lib/access/signedIn'
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
  await endSessionsOf(request, principal, person, form.get('id'))
  return leadTo(`/setup/people/${encodeURIComponent(person)}`)
})
