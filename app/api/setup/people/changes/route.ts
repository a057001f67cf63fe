import { readPeopleDraft } from '@/app/setup/draft'
import { readFormValues } from '@/app/setup/forms/formValues'
import { parsePeopleCsv } from '@/app/setup/forms/peopleCsv'
import { applyPeopleList } from '@/lib/access/people/managePeople'
import { redirect303 } from '@/lib/access/session/signIn'
import { readRegisterDocument } from '@/lib/store/ledger/registerEntries'
import { deleteDraft, findDraft } from '@/lib/store/register/setupDraft'
import { getAppPool, getAuthPool } from '@/lib/store/scope/sharedPool'
import { authorize } from '../../../authorize'
import { withErrorHandling } from '../../../withErrorHandling'
import { readSetupForm } from '../../readSetupForm'

/** Applies or discards a list of people that was shown. It is applied only if it still does what was shown. */
export const POST = withErrorHandling(async (request: Request) => {
  const principal = await authorize('POST /api/setup/people/changes', request)
  if (principal instanceof Response) return principal
  const sent = await readSetupForm(principal, request)
  if (sent instanceof Response) return sent
  const { id = '', shown = '', act } = readFormValues(sent.fields)
  const shownAt = `/setup/people/changes/${encodeURIComponent(id)}`
  const draft = readPeopleDraft(await findDraft(getAppPool(), sent.actor, id))
  if (!draft || draft.problems.length > 0) return redirect303(shownAt)
  if (act === 'give up') {
    await deleteDraft(getAppPool(), sent.actor, id)
    return redirect303('/setup/people')
  }
  const written = parsePeopleCsv(draft.peopleCsv, await readRegisterDocument(getAppPool()))
  const done = await applyPeopleList(getAuthPool(), written, shown, sent.actor, Date.now())
  if (!done) return redirect303(`${shownAt}?moved=yes`)
  await deleteDraft(getAppPool(), sent.actor, id)
  return redirect303(`/setup/people?added=${done.added.length}&changed=${done.changed.length}`)
})
