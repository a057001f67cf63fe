import { actorOf } from '@/lib/access/session/actor'
import { canonical } from '@/lib/custody/kitCode'
import { HAND_FIELDS, type HandForm, handFormOf } from '@/lib/intake/hand/handFields'
import { answering } from '../answering'
import { asked } from '../asked'
import { recordedBy } from './handActs'
import { answerTo, handSubmission, pagePath } from './handForm'

/** Records by hand what happened to one kit, or to several at once: one event for each, all of them or none. */
export const POST = answering(async (request: Request) => {
  const hand = await handSubmission(await asked('POST /api/record', request), request)
  if (hand instanceof Response) return hand
  const { person, submission } = hand
  const form = handFormOf((field) => submission.one(field))
  const outcome = await recordedBy(person, actorOf(person, request), submission, form, Date.now())
  const codes = submission.all('sample')
  const path = pagePath(submission.one('from'), codes[0] ?? '', submission.one('plant'))
  return answerTo(outcome, submission, { path, typed: typedIn(form, codes), anchor: 'record' })
})

/** What was typed, as the page takes it out of its address again. */
function typedIn(form: HandForm, codes: readonly string[]): URLSearchParams {
  const typed = new URLSearchParams({ record: form.kind })
  for (const field of HAND_FIELDS) if (field !== 'kind' && form[field] !== '') typed.set(field, form[field])
  if (form.corrects !== '') typed.set('change', form.corrects)
  for (const code of codes) typed.append('tick', canonical(code))
  typed.set('typed', 'yes')
  return typed
}
