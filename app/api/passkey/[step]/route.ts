import { passkeyStep } from '@/lib/access/passkeys'
import { askedByAnyone } from '../../asked'

type Context = { params: Promise<{ step: string }> }

/** Begins enrolling a passkey, or signing in with one. */
export async function GET(request: Request, { params }: Context): Promise<Response> {
  const refusal = askedByAnyone('GET /api/passkey/[step]', request)
  return refusal ?? (await passkeyStep((await params).step, request)) ?? new Response(null, { status: 404 })
}

/** Ends what a GET began. */
export async function POST(request: Request, { params }: Context): Promise<Response> {
  const refusal = askedByAnyone('POST /api/passkey/[step]', request)
  return refusal ?? (await passkeyStep((await params).step, request)) ?? new Response(null, { status: 404 })
}
