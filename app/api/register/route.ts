import { toActor } from '@/lib/access/session/actor'
import { parseRegister } from '@/lib/custody/parseRegister'
import { jsonReply, problemReply } from '@/lib/intake/answers/reply'
import { problem } from '@/lib/intake/formats/problem'
import { readBody } from '@/lib/intake/formats/readBody'
import { english } from '@/lib/messages/english'
import type { Message } from '@/lib/messages/message'
import { maySetRegister } from '@/lib/policy/reporting'
import { readRegisterDocument } from '@/lib/store/ledger/registerEntries'
import { applyRegister } from '@/lib/store/register/changeRegister'
import { getAppPool } from '@/lib/store/scope/sharedPool'
import { authorize } from '../authorize'
import { withErrorHandling } from '../withErrorHandling'

const KEY_NOT_ALLOWED = problem(
  'not-yours',
  403,
  'Not allowed',
  'The register is sent as a whole. The key has to be one that may set it and is not limited to a plant or laboratory.',
)

/** Returns the whole register as the document that PUT takes. */
export const GET = withErrorHandling(async (request: Request) => {
  const principal = await authorize('GET /api/register', request)
  return principal instanceof Response ? principal : jsonReply(await readRegisterDocument(getAppPool()))
})

/** Checks a whole register document, lists every problem at once, and applies it in one transaction. */
export const PUT = withErrorHandling(async (request: Request) => {
  const principal = await authorize('PUT /api/register', request)
  if (principal instanceof Response) return principal
  if (!maySetRegister(principal)) return problemReply(KEY_NOT_ALLOWED)
  const body = await readBody(request)
  if (typeof body !== 'string') return problemReply(body)
  let input: unknown
  try {
    input = JSON.parse(body)
  } catch (error) {
    return problemReply(
      problem(
        'unreadable-body',
        400,
        'Body cannot be read',
        `The body is not JSON: ${(error as Error).message}.`,
      ),
    )
  }
  const { document, problems } = parseRegister(input)
  if (!document) return problemReply(refusedProblem(problems))
  const { change, refusals } = await applyRegister(
    getAppPool(),
    document,
    Date.now(),
    toActor(principal, request),
  )
  return change ? jsonReply(change) : problemReply(refusedProblem(refusals))
})

function refusedProblem(faults: { pointer: string; detail: Message }[]) {
  const errors = faults.map(({ pointer, detail }) => ({ pointer, detail: english.message(detail) }))
  const detail = `Nothing was changed. Correct ${errors.length === 1 ? 'the error' : `the ${errors.length} errors`} and send it again.`
  return problem('register-refused', 422, 'Register refused', detail, { errors })
}
