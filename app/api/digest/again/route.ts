import { actorOf } from '@/lib/access/session/actor'
import { leadTo } from '@/lib/access/session/signedIn'
import { sendAgain } from '@/lib/store/mail/mailJobs'
import { sharedDoor } from '@/lib/store/scope/sharedPool'
import { answering } from '../../answering'
import { asked } from '../../asked'
import { shortForm } from '../../shortForm'

/** Has a mail sent once more that may not have arrived, where the asker says that it did not; else leads back to say so. */
export const POST = answering(async (request: Request) => {
  const principal = await asked('POST /api/digest/again', request)
  if (principal instanceof Response) return principal
  const form = await shortForm(request)
  if (form instanceof Response) return form
  const key = { personId: form.get('of') ?? '', occasion: form.get('mail') ?? '' }
  const asks = new URLSearchParams({ of: key.personId, mail: key.occasion })
  if (form.get('sure') !== 'yes') return leadTo(`/digest?${asks}&unsure=yes#mail`)
  await sendAgain(sharedDoor(), key, actorOf(principal, request), Date.now())
  return leadTo(`/digest?${asks}#mail`)
})
