import type { FieldProblem } from '@/app/setup/forms/formValues'
import { personEntry } from '@/app/setup/forms/personForm'
import type { RefusedForm } from '@/app/setup/personState'
import { addPerson, changePerson } from '@/lib/access/people/enterPeople'
import { leadTo } from '@/lib/access/session/signedIn'
import { registerNow } from '@/lib/store/ledger/registerEntries'
import { dropDraft, keepDraft } from '@/lib/store/register/setupDraft'
import { sharedDoor, sharedPool } from '@/lib/store/scope/sharedPool'
import { answering } from '../../answering'
import { asked } from '../../asked'
import { formOf } from '../sentForm'

/** Adds a person, changes what they are, or lets them go. What is wrong, and what was typed, is kept for the form to show again. */
export const POST = answering(async (request: Request) => {
  const principal = await asked('POST /api/setup/people', request)
  if (principal instanceof Response) return principal
  const sent = await formOf(principal, request)
  if (sent instanceof Response) return sent
  const { actor, fields } = sent
  const register = await registerNow(sharedPool())
  const codes = (list: 'plants' | 'laboratories') => new Set<string>(register[list].map(({ code }) => code))
  const { entry, problems } = personEntry(fields, {
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
    return leadTo(`${formPath}?draft=${await keepDraft(sharedPool(), actor, refused, now)}`)
  }
  const draft = String(fields.get('draft') ?? '')
  if (draft !== '') await dropDraft(sharedPool(), actor, draft)
  if (problems.length > 0) return back(problems)
  const done =
    id === ''
      ? await addPerson(sharedDoor(), entry, actor, now)
      : await changePerson(sharedDoor(), id, { ...entry, hasLeft: fields.get('left') === 'yes' }, actor, now)
  if ('problem' in done) return back([{ field: '', detail: done.problem }])
  return leadTo(`/setup/people?entered=${encodeURIComponent(done.id)}`)
})
