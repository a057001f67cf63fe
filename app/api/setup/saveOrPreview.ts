import type { Draft } from '@/app/setup/draft'
import { getProblemDetail, getProblemField } from '@/app/setup/forms/entryForms'
import type { FieldProblem } from '@/app/setup/forms/formValues'
import { redirect303 } from '@/lib/access/session/signIn'
import { type Message, message } from '@/lib/messages/message'
import {
  type ChangeEffect,
  changeRegister,
  type EditProblem,
  previewChange,
} from '@/lib/store/register/changeRegister'
import { saveDraft } from '@/lib/store/register/setupDraft'
import type { Actor } from '@/lib/store/scope/audit'
import { getAppPool } from '@/lib/store/scope/sharedPool'

interface Paths {
  formPath: string
  donePath: string
  isOneForm?: boolean
}

/**
 * Enters a change at once where nobody has to look at it first: it only adds, or renames, and moves no sample. Else
 * keeps it and leads to the page that shows what it would do; or, where it is refused, back to its form.
 * `formPath` shows the form, `donePath` what was entered. `isOneForm`: what several edits would do is said in the fields
 * of one form, so that what is wrong with each of them is told there once. `now` in ms UTC.
 */
export async function saveOrPreview(
  draft: Draft,
  actor: Actor,
  now: number,
  { formPath, donePath, isOneForm = draft.edits.length === 1 }: Paths,
): Promise<Response> {
  const keep = (content: Draft) => saveDraft(getAppPool(), actor, content, now)
  const options = { holdsFromAt: draft.holdsFromAt, actor, now }
  if (draft.problems.length > 0) return redirect303(`${formPath}?draft=${await keep(draft)}`)
  const { effect, problems } = await previewChange(getAppPool(), draft.edits, options)
  if (!effect) {
    const own = new Set(draft.edits.map(({ list, code }) => `${list} ${code}`))
    const fields = problems.map((one) =>
      isOneForm && own.has(`${one.list} ${one.code}`)
        ? { field: getProblemField(draft.list, one), detail: getProblemDetail(draft.list, one) }
        : { field: '', detail: describeWithCode(one) },
    )
    return redirect303(`${formPath}?draft=${await keep({ ...draft, problems: dropDuplicates(fields) })}`)
  }
  if (draft.lines.length > 0 || needsPreview(effect, draft))
    return redirect303(`/setup/changes/${await keep(draft)}`)
  const { isDone } = {
    isDone: false,
    ...(await changeRegister(getAppPool(), draft.edits, { ...options, confirmed: effect.digest })),
  }
  // Someone else changed the register in between: what stands there now says what becomes of this.
  if (!isDone) return saveOrPreview(draft, actor, now, { formPath, donePath, isOneForm })
  return redirect303(donePath)
}

/** The same sentence at the same field is said once. */
function dropDuplicates(problems: readonly FieldProblem[]): FieldProblem[] {
  return [...new Map(problems.map((one) => [JSON.stringify(one), one])).values()]
}

function describeWithCode({ code, detail }: EditProblem): Message {
  return code === null ? detail : message('setup.changes.entryProblem', { code, problem: detail })
}

/** Kinds of entries whose changes judge no clock: nobody has to look at them first. */
const KINDS_WITHOUT_CLOCKS = new Set([
  'plant',
  'service',
  'pickup',
  'family',
  'certificate',
  'duty',
  'shutdown',
  'kit',
])

function needsPreview({ changes, sampleChanges: moves }: ChangeEffect, { holdsFromAt }: Draft): boolean {
  const isPlain = changes.every(
    ({ kind, before, content }) => content !== null && (before === null || KINDS_WITHOUT_CLOCKS.has(kind)),
  )
  return moves.length > 0 || holdsFromAt !== null || !isPlain
}
