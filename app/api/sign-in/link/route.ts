import { spendLink } from '@/lib/access/byMail'
import { leadTo, signedIn } from '@/lib/access/signedIn'
import { signInAddress } from '@/lib/access/wanted'
import { askedByAnyone } from '../../asked'

/** Uses a mailed link up, and signs its person in. */
export async function POST(request: Request): Promise<Response> {
  const refusal = askedByAnyone('POST /api/sign-in/link', request)
  if (refusal) return refusal
  const form = await request.formData().catch(() => new FormData())
  const admitted = await spendLink(String(form.get('token') ?? ''))
  const response = admitted && (await signedIn(request, admitted.personId, 'link', admitted.wanted))
  return response ?? leadTo(signInAddress(null, 'link'))
}
