import { readFormValues } from '@/app/setup/forms/formValues'
import { parseOffice } from '@/app/setup/office/officeForm'
import { redirect303 } from '@/lib/access/session/signIn'
import { saveOffice } from '@/lib/store/register/office'
import { saveDraft } from '@/lib/store/register/setupDraft'
import { getAppPool } from '@/lib/store/scope/sharedPool'
import { authorize } from '../../authorize'
import { withErrorHandling } from '../../withErrorHandling'
import { readSetupForm } from '../readSetupForm'

/** Saves the office's zone and open days. A refused form is stored and shown again. */
export const POST = withErrorHandling(async (request: Request) => {
  const principal = await authorize('POST /api/setup/office', request)
  if (principal instanceof Response) return principal
  const sent = await readSetupForm(principal, request)
  if (sent instanceof Response) return sent
  const officeForm = readFormValues(sent.fields)
  const { office, problems } = parseOffice(officeForm)
  const now = Date.now()
  if (problems.length > 0)
    return redirect303(
      `/setup/office?draft=${await saveDraft(getAppPool(), sent.actor, { officeForm, problems }, now)}`,
    )
  await saveOffice(getAppPool(), office, sent.actor, now)
  return redirect303('/setup/office?entered=yes')
})
