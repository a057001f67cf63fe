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
 * Saves a change that needs no preview: it only adds or renames, and affects no sample. Otherwise stores it as a
 * draft and leads to its preview, or back to its form if it is refused.
 * `formPath` shows the form, `donePath` what was saved. `isOneForm`: one form makes all edits, so its fields show the
 * problems of each. `now` in ms UTC.
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
  // Someone else changed the register in between: judge the change again.
  if (!isDone) return saveOrPreview(draft, actor, now, { formPath, donePath, isOneForm })
  return redirect303(donePath)
}

function dropDuplicates(problems: readonly FieldProblem[]): FieldProblem[] {
  return [...new Map(problems.map((one) => [JSON.stringify(one), one])).values()]
}

function describeWithCode({ code, detail }: EditProblem): Message {
  return code === null ? detail : message('setup.changes.entryProblem', { code, problem: detail })
}

/** Changes of these affect no clock and need no preview. */
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

function needsPreview({ changes, sampleChanges }: ChangeEffect, { holdsFromAt }: Draft): boolean {
  const isPlain = changes.every(
    ({ kind, before, content }) => content !== null && (before === null || KINDS_WITHOUT_CLOCKS.has(kind)),
  )
  return sampleChanges.length > 0 || holdsFromAt !== null || !isPlain
}
