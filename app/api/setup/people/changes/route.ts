import { readPeopleDraft } from '@/app/setup/draft'
import { formValues } from '@/app/setup/forms/formValues'
import { readPeopleCsv } from '@/app/setup/forms/peopleCsv'
import { enterMany } from '@/lib/access/people/enterPeople'
import { leadTo } from '@/lib/access/session/signedIn'
import { registerNow } from '@/lib/store/ledger/registerEntries'
import { draftOf, dropDraft } from '@/lib/store/register/setupDraft'
import { sharedDoor, sharedPool } from '@/lib/store/scope/sharedPool'
import { answering } from '../../../answering'
import { asked } from '../../../asked'
import { formOf } from '../../sentForm'

/** Confirms a list of people that was shown, or gives it up. It is done only if it still does what was shown. */
export const POST = answering(async (request: Request) => {
  const principal = await asked('POST /api/setup/people/changes', request)
  if (principal instanceof Response) return principal
  const sent = await formOf(principal, request)
  if (sent instanceof Response) return sent
  const { id = '', shown = '', act } = formValues(sent.fields)
  const shownAt = `/setup/people/changes/${encodeURIComponent(id)}`
  const draft = readPeopleDraft(await draftOf(sharedPool(), sent.actor, id))
  if (!draft || draft.problems.length > 0) return leadTo(shownAt)
  if (act === 'give up') {
    await dropDraft(sharedPool(), sent.actor, id)
    return leadTo('/setup/people')
  }
  const written = readPeopleCsv(draft.peopleCsv, await registerNow(sharedPool()))
  const done = await enterMany(sharedDoor(), written, shown, sent.actor, Date.now())
  if (!done) return leadTo(`${shownAt}?moved=yes`)
  await dropDraft(sharedPool(), sent.actor, id)
  return leadTo(`/setup/people?added=${done.added.length}&changed=${done.changed.length}`)
})
