import { readRequestId, tryCode } from '@/lib/access/session/mailSignIn'
import { redirect303, signIn } from '@/lib/access/session/signIn'
import { allowAnonymous } from '../../authorize'
import { readShortForm } from '../../shortForm'
import { withErrorHandling } from '../../withErrorHandling'

/** Checks a mailed code in the browser that requested it, and signs its person in. */
export const POST = withErrorHandling(async (request: Request) => {
  const refusal = allowAnonymous('POST /api/sign-in/code', request)
  if (refusal) return refusal
  const form = await readShortForm(request)
  if (form instanceof Response) return form
  const outcome = await tryCode(request, readRequestId(request), form.get('code') ?? '')
  if (outcome && 'triesLeft' in outcome && outcome.triesLeft > 0)
    return redirect303(`/sign-in/code?left=${outcome.triesLeft}`)
  const response =
    outcome && 'personId' in outcome && (await signIn(request, outcome.personId, 'code', outcome.wanted))
  return response || redirect303('/sign-in/code?left=0')
})
