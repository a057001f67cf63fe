import { endOwnSessions } from '@/lib/access/session/own'
import { leadTo } from '@/lib/access/session/signedIn'
import { answering } from '../../answering'
import { asked } from '../../asked'
import { shortForm } from '../../shortForm'

/** Ends the session that a person names, or without a name all but the one that asks. */
export const POST = answering(async (request: Request) => {
  const principal = await asked('POST /api/me/sessions', request)
  if (principal instanceof Response) return principal
  const form = await shortForm(request)
  if (form instanceof Response) return form
  if (principal.kind === 'person') await endOwnSessions(request, principal, form.get('id'))
  return leadTo('/me')
})
