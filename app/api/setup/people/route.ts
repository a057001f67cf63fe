import type { FieldProblem } from '@/app/setup/forms/formValues'
import { parsePerson } from '@/app/setup/forms/personForm'
import type { RefusedForm } from '@/app/setup/people/refusedForms'
import { addPerson, changePerson } from '@/lib/access/people/managePeople'
import { redirect303 } from '@/lib/access/session/signIn'
import { readRegisterDocument } from '@/lib/store/ledger/registerEntries'
import { deleteDraft, saveDraft } from '@/lib/store/register/setupDraft'
import { getAppPool, getAuthPool } from '@/lib/store/scope/sharedPool'
import { authorize } from '../../authorize'
import { withErrorHandling } from '../../withErrorHandling'
import { readSetupForm } from '../readSetupForm'

/** Adds a person, or changes their roles and whether they have left. A refused form is stored and shown again. */
export const POST = withErrorHandling(async (request: Request) => {
  const principal = await authorize('POST /api/setup/people', request)
  if (principal instanceof Response) return principal
  const sent = await readSetupForm(principal, request)
  if (sent instanceof Response) return sent
  const { actor, fields } = sent
  const register = await readRegisterDocument(getAppPool())
  const codes = (list: 'plants' | 'laboratories') => new Set<string>(register[list].map(({ code }) => code))
  const { entry, problems } = parsePerson(fields, {
    plants: codes('plants'),
    laboratories: codes('laboratories'),
  })
  const id = String(fields.get('id') ?? '')
  const formPath = id === '' ? '/setup/people' : `/setup/people/${encodeURIComponent(id)}`
  const now = Date.now()
  const back = async (problems: FieldProblem[]) => {
    const personForm = [...fields].flatMap(([name, value]): [string, string][] =>
      typeof value === 'string' && name !== 'draft' ? [[name, value]] : [],
    )
    const refused: RefusedForm = { personForm, problems }
    return redirect303(`${formPath}?draft=${await saveDraft(getAppPool(), actor, refused, now)}`)
  }
  const draft = String(fields.get('draft') ?? '')
  if (draft !== '') await deleteDraft(getAppPool(), actor, draft)
  if (problems.length > 0) return back(problems)
  const done =
    id === ''
      ? await addPerson(getAuthPool(), entry, actor, now)
      : await changePerson(getAuthPool(), id, { ...entry, hasLeft: fields.get('left') === 'yes' }, actor, now)
  if ('problem' in done) return back([{ field: '', detail: done.problem }])
  return redirect303(`/setup/people?entered=${encodeURIComponent(done.id)}`)
})
