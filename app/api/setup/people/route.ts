import { personEntry } from '@/app/setup/forms/personForm'
import { addPerson, changePerson } from '@/lib/access/enterPeople'
import { registerNow } from '@/lib/store'
import { answering } from '../../answering'
import { asked } from '../../asked'
import { formOf, leadTo } from '../sentForm'

/** Adds a person, changes what they are, or lets them go. What is wrong comes back in the address of the form. */
export const POST = answering(async (request: Request) => {
  const principal = await asked('POST /api/setup/people', request)
  if (principal instanceof Response) return principal
  const sent = await formOf(principal, request)
  if (sent instanceof Response) return sent
  const { actor, fields } = sent
  const register = await registerNow()
  const codes = (list: 'plants' | 'laboratories') => new Set<string>(register[list].map(({ code }) => code))
  const { entry, problems } = personEntry(fields, {
    plants: codes('plants'),
    laboratories: codes('laboratories'),
  })
  const id = String(fields.get('id') ?? '')
  const formPath = id === '' ? '/setup/people' : `/setup/people/${encodeURIComponent(id)}`
  const back = (faults: Record<string, string>) => {
    const asked = new URLSearchParams()
    for (const [name, value] of fields) if (typeof value === 'string') asked.append(name, value)
    for (const [field, detail] of Object.entries(faults)) asked.append('wrong', `${field}:${detail}`)
    return leadTo(`${formPath}?${asked}`)
  }
  if (problems.length > 0) return back(Object.fromEntries(problems.map((one) => [one.field, one.detail])))
  const now = Date.now()
  const done =
    id === ''
      ? await addPerson(entry, actor, now)
      : await changePerson(id, { ...entry, hasLeft: fields.get('left') === 'yes' }, actor, now)
  if ('problem' in done) return back({ '': done.problem })
  return leadTo(`/setup/people?entered=${encodeURIComponent(done.id)}`)
})
