import { passkeyStep } from '@/lib/access/session/passkeys'
import { answering } from '../../answering'
import { askedByAnyone } from '../../asked'
import { shortBody } from '../../shortForm'

type Context = { params: Promise<{ step: string }> }

/** Begins enrolling a passkey, or signing in with one. */
export const GET = answering(async (request: Request, { params }: Context) => {
  const refusal = askedByAnyone('GET /api/passkey/[step]', request)
  return refusal ?? answerTo((await params).step, request)
})

/** Ends what a GET began. */
export const POST = answering(async (request: Request, { params }: Context) => {
  const refusal = askedByAnyone('POST /api/passkey/[step]', request)
  if (refusal) return refusal
  const body = await shortBody(request)
  return body instanceof Response ? body : answerTo((await params).step, request, body)
})

const answerTo = async (step: string, request: Request, body?: string) =>
  (await passkeyStep(step, request, body)) ?? new Response(null, { status: 404 })
