import { actorOf } from '@/lib/access/session/actor'
import { leadTo } from '@/lib/access/session/signedIn'
import { canonicalEmail, isEmail } from '@/lib/policy/email'
import { setMailbox } from '@/lib/store/people/digestPreference'
import { keepDraft } from '@/lib/store/register/setupDraft'
import { sharedDoor, sharedPool } from '@/lib/store/scope/sharedPool'
import { answering } from '../../../answering'
import { asked } from '../../../asked'
import { shortForm } from '../../../shortForm'

/** Sets the mailbox that a person's mail goes to, which several may share; empty: their own. */
export const POST = answering(async (request: Request) => {
  const principal = await asked('POST /api/setup/people/mailbox', request)
  if (principal instanceof Response) return principal
  const form = await shortForm(request)
  if (form instanceof Response) return form
  const id = form.get('id') ?? ''
  const typed = form.get('mailbox') ?? ''
  const mailbox = canonicalEmail(typed)
  const path = `/setup/people/${encodeURIComponent(id)}`
  const actor = actorOf(principal, request)
  const now = Date.now()
  if (mailbox !== '' && !isEmail(mailbox)) {
    const refused = await keepDraft(sharedPool(), actor, { of: id, mailbox: typed }, now)
    return leadTo(`${path}?refused=${refused}#mailbox`)
  }
  await setMailbox(sharedDoor(), id, mailbox === '' ? null : mailbox, actor, now)
  return leadTo(`${path}?mailbox=kept#mailbox`)
})
