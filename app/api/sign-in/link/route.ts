import { consumeLink } from '@/lib/access/session/mailSignIn'
import { buildSignInPath } from '@/lib/access/session/returnPath'
import { redirect303, signIn } from '@/lib/access/session/signIn'
import { allowAnonymous } from '../../authorize'
import { readShortForm } from '../../shortForm'
import { withErrorHandling } from '../../withErrorHandling'

/** Uses up a mailed link, and signs its person in. */
export const POST = withErrorHandling(async (request: Request) => {
  const refusal = allowAnonymous('POST /api/sign-in/link', request)
  if (refusal) return refusal
  const form = await readShortForm(request)
  if (form instanceof Response) return form
  const admitted = await consumeLink(form.get('token') ?? '')
  const response = admitted && (await signIn(request, admitted.personId, 'link', admitted.wanted))
  return response ?? redirect303(buildSignInPath(null, 'link'))
})
