import { toActor } from '@/lib/access/session/actor'
import { problemReply } from '@/lib/intake/answers/reply'
import { problem } from '@/lib/intake/formats/problem'
import type { Principal } from '@/lib/policy/principal'
import type { Actor } from '@/lib/store/scope/audit'

/** The largest form that is taken, in bytes: 8 MiB. */
const MAX_FORM_BYTES = 8 * 1024 * 1024

/** What is in a form of the set-up, and who is to be recorded as having sent it, or the response to give instead. */
export async function readSetupForm(
  principal: Principal,
  request: Request,
): Promise<{ actor: Actor; fields: FormData } | Response> {
  const length = Number(request.headers.get('content-length') ?? Number.POSITIVE_INFINITY)
  if (length > MAX_FORM_BYTES)
    return problemReply(
      problem('body-too-large', 413, 'Form too large', 'The most is 8 MiB; send the lines in parts.'),
    )
  try {
    return { actor: toActor(principal, request), fields: await request.formData() }
  } catch {
    return problemReply(problem('unreadable-body', 400, 'Not a form', 'Send the form of the page.'))
  }
}

/** The list in a form: a file where one was chosen, else what was pasted. */
export async function readPastedList(fields: FormData): Promise<string> {
  const file = fields.get('file')
  return file instanceof File && file.size > 0 ? file.text() : String(fields.get('text') ?? '')
}
