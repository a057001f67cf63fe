import { actorOf } from '@/lib/access/session/actor'
import { leadTo } from '@/lib/access/session/signedIn'
import { removePasskey } from '@/lib/store/people/sessions'
import { sharedDoor } from '@/lib/store/scope/sharedPool'
import { answering } from '../../answering'
import { asked } from '../../asked'
import { shortForm } from '../../shortForm'

/** Takes away the passkey that a person names. */
export const POST = answering(async (request: Request) => {
  const principal = await asked('POST /api/me/passkeys', request)
  if (principal instanceof Response) return principal
  const form = await shortForm(request)
  if (form instanceof Response) return form
  const actor = actorOf(principal, request)
  await removePasskey(sharedDoor(), principal.id, form.get('id') ?? '', actor, Date.now())
  return leadTo('/me')
})
