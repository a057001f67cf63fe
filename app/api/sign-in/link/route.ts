import { spendLink } from '@/lib/access/session/byMail'
import { leadTo, signedIn } from '@/lib/access/session/signedIn'
import { signInAddress } from '@/lib/access/session/wanted'
import { answering } from '../../answering'
import { askedByAnyone } from '../../asked'
import { shortForm } from '../../shortForm'

/** Uses a mailed link up, and signs its person in. */
export const POST = answering(async (request: Request) => {
  const refusal = askedByAnyone('POST /api/sign-in/link', request)
  if (refusal) return refusal
  const form = await shortForm(request)
  if (form instanceof Response) return form
  const admitted = await spendLink(form.get('token') ?? '')
  const response = admitted && (await signedIn(request, admitted.personId, 'link', admitted.wanted))
  return response ?? leadTo(signInAddress(null, 'link'))
})
