import { toActor } from '@/lib/access/session/actor'
import { redirect303 } from '@/lib/access/session/signIn'
import { resendMail } from '@/lib/store/mail/mailJobs'
import { getAuthPool } from '@/lib/store/scope/sharedPool'
import { authorize } from '../../authorize'
import { readShortForm } from '../../shortForm'
import { withErrorHandling } from '../../withErrorHandling'

/** Resends a mail that may have arrived, if the administrator is sure that it did not; else redirects to ask. */
export const POST = withErrorHandling(async (request: Request) => {
  const principal = await authorize('POST /api/digest/again', request)
  if (principal instanceof Response) return principal
  const form = await readShortForm(request)
  if (form instanceof Response) return form
  const key = { personId: form.get('of') ?? '', occasion: form.get('mail') ?? '' }
  const query = new URLSearchParams({ of: key.personId, mail: key.occasion })
  if (form.get('sure') !== 'yes') return redirect303(`/digest?${query}&unsure=yes#mail`)
  await resendMail(getAuthPool(), key, toActor(principal, request), Date.now())
  return redirect303(`/digest?${query}#mail`)
})
