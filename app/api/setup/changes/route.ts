import { readDraft } from '@/app/setup/draft'
import { readFormValues } from '@/app/setup/forms/formValues'
import { redirect303 } from '@/lib/access/session/signIn'
import { changeRegister } from '@/lib/store/register/changeRegister'
import { deleteDraft, findDraft } from '@/lib/store/register/setupDraft'
import { getAppPool } from '@/lib/store/scope/sharedPool'
import { authorize } from '../../authorize'
import { withErrorHandling } from '../../withErrorHandling'
import { readSetupForm } from '../readSetupForm'

/** Applies or discards a change that was shown. It is applied only if it still does what was shown. */
export const POST = withErrorHandling(async (request: Request) => {
  const principal = await authorize('POST /api/setup/changes', request)
  if (principal instanceof Response) return principal
  const sent = await readSetupForm(principal, request)
  if (sent instanceof Response) return sent
  const { id = '', shown = '', act } = readFormValues(sent.fields)
  const draft = readDraft(await findDraft(getAppPool(), sent.actor, id))
  if (!draft) return redirect303(`/setup/changes/${encodeURIComponent(id)}`)
  if (act === 'give up') {
    await deleteDraft(getAppPool(), sent.actor, id)
    return redirect303(`/setup/${draft.list}`)
  }
  const { isDone } = {
    isDone: false,
    ...(await changeRegister(getAppPool(), draft.edits, {
      holdsFromAt: draft.holdsFromAt,
      actor: sent.actor,
      now: Date.now(),
      confirmed: shown,
    })),
  }
  if (!isDone) return redirect303(`/setup/changes/${encodeURIComponent(id)}?moved=yes`)
  await deleteDraft(getAppPool(), sent.actor, id)
  const codes = draft.edits.map(({ code }) => code)
  return redirect303(`/setup/${draft.list}?entered=${encodeURIComponent(codes.slice(0, 20).join(' '))}`)
})
