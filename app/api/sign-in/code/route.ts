import { askedId, tryCode } from '@/lib/access/byMail'
import { leadTo, signedIn } from '@/lib/access/signedIn'
import { askedByAnyone } from '../../asked'

/** Tries a mailed code on the browser that asked for it, and signs its person in. */
export async function POST(request: Request): Promise<Response> {
  const refusal = askedByAnyone('POST /api/sign-in/code', request)
  if (refusal) return refusal
  const form = await request.formData().catch(() => new FormData())
  const outcome = await tryCode(request, askedId(request), String(form.get('code') ?? ''))
  if (outcome && 'triesLeft' in outcome && outcome.triesLeft > 0)
    return leadTo(`/sign-in/code?left=${outcome.triesLeft}`)
  const response =
    outcome && 'personId' in outcome && (await signedIn(request, outcome.personId, 'code', outcome.wanted))
  return response || leadTo('/sign-in/code?left=0')
}
