import { toActor } from '@/lib/access/session/actor'
import { redirect303 } from '@/lib/access/session/signIn'
import { isEmail, normalizeEmail } from '@/lib/policy/email'
import { setMailbox } from '@/lib/store/people/digestPreference'
import { saveDraft } from '@/lib/store/register/setupDraft'
import { getAppPool, getAuthPool } from '@/lib/store/scope/sharedPool'
import { authorize } from '../../../authorize'
import { readShortForm } from '../../../shortForm'
import { withErrorHandling } from '../../../withErrorHandling'

/** Sets the mailbox for a person's mail; several people may share it. Empty: their own address. */
export const POST = withErrorHandling(async (request: Request) => {
  const principal = await authorize('POST /api/setup/people/mailbox', request)
  if (principal instanceof Response) return principal
  const form = await readShortForm(request)
  if (form instanceof Response) return form
  const id = form.get('id') ?? ''
  const typed = form.get('mailbox') ?? ''
  const mailbox = normalizeEmail(typed)
  const path = `/setup/people/${encodeURIComponent(id)}`
  const actor = toActor(principal, request)
  const now = Date.now()
  if (mailbox !== '' && !isEmail(mailbox)) {
    const refused = await saveDraft(getAppPool(), actor, { of: id, mailbox: typed }, now)
    return redirect303(`${path}?refused=${refused}#mailbox`)
  }
  await setMailbox(getAuthPool(), id, mailbox === '' ? null : mailbox, actor, now)
  return redirect303(`${path}?mailbox=kept#mailbox`)
})
