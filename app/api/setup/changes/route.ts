import { readDraft } from '@/app/setup/draft'
import { formValues } from '@/app/setup/forms/formValues'
import { leadTo } from '@/lib/access/session/signedIn'
import { changeRegister } from '@/lib/store/register/changeRegister'
import { draftOf, dropDraft } from '@/lib/store/register/setupDraft'
import { sharedPool } from '@/lib/store/scope/sharedPool'
import { answering } from '../../answering'
import { asked } from '../../asked'
import { formOf } from '../sentForm'

/** Confirms a change that was shown, or gives it up. It is made only if it still does what was shown. */
export const POST = answering(async (request: Request) => {
  const principal = await asked('POST /api/setup/changes', request)
  if (principal instanceof Response) return principal
  const sent = await formOf(principal, request)
  if (sent instanceof Response) return sent
  const { id = '', shown = '', act } = formValues(sent.fields)
  const draft = readDraft(await draftOf(sharedPool(), sent.actor, id))
  if (!draft) return leadTo(`/setup/changes/${encodeURIComponent(id)}`)
  if (act === 'give up') {
    await dropDraft(sharedPool(), sent.actor, id)
    return leadTo(`/setup/${draft.list}`)
  }
  const { isDone } = {
    isDone: false,
    ...(await changeRegister(sharedPool(), draft.edits, {
      holdsFromAt: draft.holdsFromAt,
      actor: sent.actor,
      now: Date.now(),
      confirmed: shown,
    })),
  }
  if (!isDone) return leadTo(`/setup/changes/${encodeURIComponent(id)}?moved=yes`)
  await dropDraft(sharedPool(), sent.actor, id)
  const codes = draft.edits.map(({ code }) => code)
  return leadTo(`/setup/${draft.list}?entered=${encodeURIComponent(codes.slice(0, 20).join(' '))}`)
})
