import { formValues } from '@/app/setup/forms/formValues'
import { officeOfForm } from '@/app/setup/office/officeForm'
import { leadTo } from '@/lib/access/session/signedIn'
import { enterOffice } from '@/lib/store/register/office'
import { keepDraft } from '@/lib/store/register/setupDraft'
import { sharedPool } from '@/lib/store/scope/sharedPool'
import { answering } from '../../answering'
import { asked } from '../../asked'
import { formOf } from '../sentForm'

/** Says when the programme's office works; where the form is refused it is kept and shown again. */
export const POST = answering(async (request: Request) => {
  const principal = await asked('POST /api/setup/office', request)
  if (principal instanceof Response) return principal
  const sent = await formOf(principal, request)
  if (sent instanceof Response) return sent
  const officeForm = formValues(sent.fields)
  const { office, problems } = officeOfForm(officeForm)
  const now = Date.now()
  if (problems.length > 0)
    return leadTo(
      `/setup/office?draft=${await keepDraft(sharedPool(), sent.actor, { officeForm, problems }, now)}`,
    )
  await enterOffice(sharedPool(), office, sent.actor, now)
  return leadTo('/setup/office?entered=yes')
})
