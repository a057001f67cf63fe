import type { Draft } from '@/app/setup/draft'
import { fieldOf } from '@/app/setup/forms/entryForms'
import { type Actor, type ChangeEffect, changeRegister, keepDraft, tryChange } from '@/lib/store'
import { leadTo } from './sentForm'

/**
 * Enters a change at once where nobody has to look at it first: it only adds, or renames, and moves no sample. Else
 * keeps it and leads to the page that shows what it would do; or, where it is refused, back to its form.
 * `formPath` shows the form, `donePath` what was entered. `now` in ms UTC.
 */
export async function enterOrShow(
  draft: Draft,
  actor: Actor,
  now: number,
  { formPath, donePath }: { formPath: string; donePath: string },
): Promise<Response> {
  const keep = (content: Draft) => keepDraft(actor, content, now)
  const options = { holdsFromAt: draft.holdsFromAt, actor, now }
  if (draft.problems.length > 0) return leadTo(`${formPath}?draft=${await keep(draft)}`)
  const { effect, problems } = await tryChange(draft.edits, options)
  if (!effect) {
    const own = new Set(draft.edits.map(({ list, code }) => `${list} ${code}`))
    const fields = problems.map((one) => ({
      field: own.has(`${one.list} ${one.code}`) && draft.edits.length === 1 ? fieldOf(draft.list, one) : '',
      detail: own.has(`${one.list} ${one.code}`) && draft.edits.length === 1 ? one.detail : placeOf(one),
    }))
    return leadTo(`${formPath}?draft=${await keep({ ...draft, problems: fields })}`)
  }
  if (draft.lines.length > 0 || needsLook(effect, draft)) return leadTo(`/setup/changes/${await keep(draft)}`)
  await changeRegister(draft.edits, { ...options, confirmed: effect.digest })
  return leadTo(donePath)
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
