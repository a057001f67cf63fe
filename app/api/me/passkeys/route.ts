import { removeOwnPasskey } from '@/lib/access/own'
import { leadTo } from '@/lib/access/signedIn'
import { answering } from '../../answering'
import { asked } from '../../asked'
import { shortForm } from '../../shortForm'

/** Takes away the passkey that a person names. */
export const POST = answering(async (request: Request) => {
  const principal = await asked('POST /api/me/passkeys', request)
  if (principal instanceof Response) return principal
  const form = await shortForm(request)
  if (form instanceof Response) return form
  if (principal.kind === 'person') await removeOwnPasskey(request, principal, form.get('id') ?? '')
  return leadTo('/me')
})
