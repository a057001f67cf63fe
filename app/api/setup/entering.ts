import type { Draft } from '@/app/setup/draft'
import { detailOf, fieldOf } from '@/app/setup/forms/entryForms'
import type { FieldProblem } from '@/app/setup/forms/formValues'
import { leadTo } from '@/lib/access/session/signedIn'
import { type ChangeEffect, changeRegister, tryChange } from '@/lib/store/register/changeRegister'
import { keepDraft } from '@/lib/store/register/setupDraft'
import type { Actor } from '@/lib/store/scope/audit'
import { sharedPool } from '@/lib/store/scope/sharedPool'

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
export async function enterOrShow(
  draft: Draft,
  actor: Actor,
  now: number,
  { formPath, donePath, isOneForm = draft.edits.length === 1 }: Paths,
): Promise<Response> {
  const keep = (content: Draft) => keepDraft(sharedPool(), actor, content, now)
  const options = { holdsFromAt: draft.holdsFromAt, actor, now }
  if (draft.problems.length > 0) return leadTo(`${formPath}?draft=${await keep(draft)}`)
  const { effect, problems } = await tryChange(sharedPool(), draft.edits, options)
  if (!effect) {
    const own = new Set(draft.edits.map(({ list, code }) => `${list} ${code}`))
    const fields = problems.map((one) =>
      isOneForm && own.has(`${one.list} ${one.code}`)
        ? { field: fieldOf(draft.list, one), detail: detailOf(draft.list, one) }
        : { field: '', detail: placeOf(one) },
    )
    return leadTo(`${formPath}?draft=${await keep({ ...draft, problems: onceEach(fields) })}`)
  }
  if (draft.lines.length > 0 || needsLook(effect, draft)) return leadTo(`/setup/changes/${await keep(draft)}`)
  const { isDone } = {
    isDone: false,
    ...(await changeRegister(sharedPool(), draft.edits, { ...options, confirmed: effect.digest })),
  }
  // Someone else changed the register in between: what stands there now says what becomes of this.
  if (!isDone) return enterOrShow(draft, actor, now, { formPath, donePath, isOneForm })
  return leadTo(donePath)
}

/** The same sentence at the same field is said once. */
function onceEach(problems: readonly FieldProblem[]): FieldProblem[] {
  return [...new Map(problems.map((one) => [`${one.field} ${one.detail}`, one])).values()]
}

function placeOf({ code, detail }: { code: string | null; detail: string }): string {
  return code === null ? detail : `${code}: ${detail}`
}

/** Kinds of entries whose changes judge no clock: nobody has to look at them first. */
const PLAIN = new Set(['plant', 'service', 'pickup', 'family', 'certificate', 'duty', 'shutdown', 'kit'])

function needsLook({ changes, moves }: ChangeEffect, { holdsFromAt }: Draft): boolean {
  const isPlain = changes.every(
    ({ kind, before, content }) => content !== null && (before === null || PLAIN.has(kind)),
  )
  return moves.length > 0 || holdsFromAt !== null || !isPlain
}
