import { askedId, tryCode } from '@/lib/access/session/byMail'
import { leadTo, signedIn } from '@/lib/access/session/signedIn'
import { answering } from '../../answering'
import { askedByAnyone } from '../../asked'
import { shortForm } from '../../shortForm'

/** Tries a mailed code on the browser that asked for it, and signs its person in. */
export const POST = answering(async (request: Request) => {
  const refusal = askedByAnyone('POST /api/sign-in/code', request)
  if (refusal) return refusal
  const form = await shortForm(request)
  if (form instanceof Response) return form
  const outcome = await tryCode(request, askedId(request), form.get('code') ?? '')
  if (outcome && 'triesLeft' in outcome && outcome.triesLeft > 0)
    return leadTo(`/sign-in/code?left=${outcome.triesLeft}`)
  const response =
    outcome && 'personId' in outcome && (await signedIn(request, outcome.personId, 'code', outcome.wanted))
  return response || leadTo('/sign-in/code?left=0')
})
