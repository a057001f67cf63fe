import { toActor } from '@/lib/access/session/actor'
import { problemReply } from '@/lib/intake/answers/reply'
import { LIMITS } from '@/lib/intake/formats/limits'
import { problem } from '@/lib/intake/formats/problem'
import type { Principal } from '@/lib/policy/principal'
import type { Actor } from '@/lib/store/scope/audit'

/** The fields of a set-up form and its sender for the audit log, or a problem response. */
export async function readSetupForm(
  principal: Principal,
  request: Request,
): Promise<{ actor: Actor; fields: FormData } | Response> {
  const length = Number(request.headers.get('content-length') ?? Number.POSITIVE_INFINITY)
  if (length > LIMITS.formBytes)
    return problemReply(
      problem('body-too-large', 413, 'Form too large', 'It may have at most 2 MiB. Send the lines in parts.'),
    )
  try {
    return { actor: toActor(principal, request), fields: await request.formData() }
  } catch {
    return problemReply(problem('unreadable-body', 400, 'Not a form', 'Send the form of the page.'))
  }
}

/** The chosen file, else the pasted text. */
export async function readPastedList(fields: FormData): Promise<string> {
  const file = fields.get('file')
  return file instanceof File && file.size > 0 ? file.text() : String(fields.get('text') ?? '')
}
