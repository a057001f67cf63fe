import { toActor } from '@/lib/access/session/actor'
import { recordDownload } from '@/lib/access/session/recordDownload'
import { parseRegisterInSteps } from '@/lib/custody/parseRegister'
import { encodeLists } from '@/lib/intake/answers/encodeLists'
import { jsonReply, piecesReply, problemReply } from '@/lib/intake/answers/reply'
import { parseDocument } from '@/lib/intake/formats/jsonDocument'
import { DOCUMENT_LIMITS, LIMITS } from '@/lib/intake/formats/limits'
import { problem } from '@/lib/intake/formats/problem'
import { english } from '@/lib/messages/english'
import type { Message } from '@/lib/messages/message'
import { maySetRegister } from '@/lib/policy/reporting'
import { REGISTER_LISTS, readRegisterDocument } from '@/lib/store/ledger/registerEntries'
import { applyRegister } from '@/lib/store/register/changeRegister'
import { getAppPool } from '@/lib/store/scope/sharedPool'
import { TimeSlices } from '@/lib/store/scope/timeSlices'
import { authorize } from '../authorize'
import { withErrorHandling } from '../withErrorHandling'
import { withIntakeBudget } from '../withIntakeBudget'

const KEY_NOT_ALLOWED = problem(
  'not-yours',
  403,
  'Not allowed',
  'The register is sent as a whole. The key has to be one that may set it and is not limited to a plant or laboratory.',
)

/** Returns the whole register as the document that PUT takes. */
export const GET = withErrorHandling(async (request: Request) => {
  const principal = await authorize('GET /api/register', request)
  if (principal instanceof Response) return principal
  const document = await readRegisterDocument(getAppPool())
  const rows = REGISTER_LISTS.reduce((sum, list) => sum + document[list].length, 0)
  await recordDownload(principal, request, { what: 'downloaded the register', rows })
  return piecesReply(await new TimeSlices().collect(encodeLists(document)), 200)
})

/** Checks a whole register document, lists every problem at once, and applies it in one transaction. */
export const PUT = withErrorHandling(async (request: Request) => {
  const principal = await authorize('PUT /api/register', request)
  if (principal instanceof Response) return principal
  if (!maySetRegister(principal)) return problemReply(KEY_NOT_ALLOWED)
  // One at a time on this server: a register is checked as a whole, so it is held as a whole.
  return withIntakeBudget(principal, request, BODY, async (body, cost) => {
    const input = await cost.slices.run(parseDocument(body, DOCUMENT_LIMITS))
    const parsed = await cost.slices.run(parseRegisterInSteps(input, LIMITS.fullRefusals))
    if (!parsed.document) return problemReply(describeRefusal(parsed.problems, parsed.problemCount))
    const { change, refusals } = await applyRegister(
      getAppPool(),
      parsed.document,
      Date.now(),
      toActor(principal, request),
      cost.slices,
    )
    return change ? jsonReply(change) : problemReply(describeRefusal(refusals, refusals.length))
  })
})

const BODY = { maxBytes: LIMITS.registerBytes, bulkName: 'register' }

/** Names the first hundred faults and counts the others. */
function describeRefusal(faults: { pointer: string; detail: Message }[], count: number) {
  const errors = faults
    .slice(0, LIMITS.fullRefusals)
    .map(({ pointer, detail }) => ({ pointer, detail: english.message(detail) }))
  const which = count === 1 ? 'the error' : `the ${count} errors`
  const first = count > errors.length ? ` The first ${errors.length} are listed.` : ''
  const detail = `Nothing was changed. Correct ${which} and send it again.${first}`
  return problem('register-refused', 422, 'Register refused', detail, { errors })
}
