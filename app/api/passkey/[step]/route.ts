import { handlePasskeyStep } from '@/lib/access/session/passkeySteps'
import { allowAnonymous } from '../../authorize'
import { readShortBody } from '../../shortForm'
import { withErrorHandling } from '../../withErrorHandling'

type Context = { params: Promise<{ step: string }> }

/** Begins the registration of a passkey, or a sign-in with one. */
export const GET = withErrorHandling(async (request: Request, { params }: Context) => {
  const refusal = allowAnonymous('GET /api/passkey/[step]', request)
  return refusal ?? runStep((await params).step, request)
})

/** Completes what GET began. */
export const POST = withErrorHandling(async (request: Request, { params }: Context) => {
  const refusal = allowAnonymous('POST /api/passkey/[step]', request)
  if (refusal) return refusal
  const body = await readShortBody(request)
  return body instanceof Response ? body : runStep((await params).step, request, body)
})

const runStep = async (step: string, request: Request, body?: string) =>
  (await handlePasskeyStep(step, request, body)) ?? new Response(null, { status: 404 })
