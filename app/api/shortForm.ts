import { problemReply } from '@/lib/intake/answers/reply'
import { problem } from '@/lib/intake/formats/problem'
import { readBody } from '@/lib/intake/formats/readBody'

/** The largest body that is taken from someone who need not be signed in, in bytes: 64 KiB. */
const MAX_SHORT_BODY_BYTES = 64 * 1024

/** A body of at most 64 KiB as text, or the response that says why it is not taken. */
export async function readShortBody(request: Request): Promise<string | Response> {
  const body = await readBody(request, MAX_SHORT_BODY_BYTES)
  return typeof body === 'string' ? body : problemReply(body)
}

/** A form of at most 64 KiB, as a browser sends it without being told how, or the response that says why it is not taken. */
export async function readShortForm(request: Request): Promise<URLSearchParams | Response> {
  const type = (request.headers.get('content-type') ?? '').split(';')[0]?.trim().toLowerCase()
  if (type !== 'application/x-www-form-urlencoded') return problemReply(NOT_A_FORM)
  const body = await readShortBody(request)
  return typeof body === 'string' ? new URLSearchParams(body) : body
}

const NOT_A_FORM = problem(
  'content-type',
  415,
  'Content type not taken',
  'Send the form of the page, as application/x-www-form-urlencoded.',
)
