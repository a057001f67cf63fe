import { jsonReply, problemReply } from '@/lib/intake/answers/reply'
import { problem } from '@/lib/intake/formats/problem'
import type { HandFault } from '@/lib/intake/hand/handEvent'
import type { Submission } from './submission'

/** What became of something that a person recorded. */
export type Outcome =
  | { kind: 'recorded' | 'already known'; token: string; events: string[] }
  | { kind: 'refused'; faults: HandFault[] }
  | { kind: 'absent' }
  | { kind: 'not theirs'; detail: string }

/**
 * Answers a person. A form is led back to `page` (a path of ours): with the token under which it was recorded, or with what
 * was typed, which the page judges again and shows beside its fields. JSON gets the same as JSON.
 */
export function answerTo(
  outcome: Outcome,
  submission: Submission,
  page: { path: string; typed: URLSearchParams; anchor: string },
): Response {
  switch (outcome.kind) {
    case 'absent':
      return problemReply(
        problem('no-sample', 404, 'No such sample', 'No sample that you may see has this code.'),
      )
    case 'not theirs':
      return problemReply(problem('not-yours', 403, 'Not yours to record', outcome.detail))
    case 'refused':
      if (submission.isForm) return seeOther(`${page.path}?${page.typed}#${page.anchor}`)
      return problemReply(
        problem('not-recorded', 422, 'Nothing was recorded', outcome.faults[0]?.detail ?? '', {
          errors: outcome.faults.map(({ field, detail }) => ({ pointer: `/${field}`, detail })),
        }),
      )
    default:
      if (submission.isForm)
        return seeOther(`${page.path}?${new URLSearchParams({ done: outcome.token })}#done`)
      return jsonReply({ result: outcome.kind, events: outcome.events })
  }
}

/** Leads a browser to a page of ours, whatever name it knows this server by. */
function seeOther(location: string): Response {
  return new Response(null, { status: 303, headers: { location, 'cache-control': 'no-store' } })
}

/** A token made by a page, so that the same form sent twice records once. */
export function isToken(text: string): boolean {
  return /^[A-Za-z0-9_-]{16,64}$/.test(text)
}

export const NO_TOKEN = problem(
  'no-token',
  422,
  'Nothing was recorded',
  'Send `token`, 16 to 64 letters and digits of your own making; the same one when you send the same again.',
)
