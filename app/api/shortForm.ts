import { problemReply } from '@/lib/intake/answers/reply'
import { problem } from '@/lib/intake/formats/problem'
import { readBody } from '@/lib/intake/formats/readBody'
import { letOthersGoFirst } from '@/lib/store/scope/timeSlices'

/** 64 KiB: anyone can send these forms, signed in or not. */
const MAX_SHORT_BODY_BYTES = 64 * 1024

/** The body as text, or a problem response. */
export async function readShortBody(request: Request): Promise<string | Response> {
  const body = await readBody(request, MAX_SHORT_BODY_BYTES, undefined, letOthersGoFirst)
  return typeof body === 'string' ? body : problemReply(body)
}

/** The form as browsers encode it by default, or a problem response. */
export async function readShortForm(request: Request): Promise<URLSearchParams | Response> {
  const type = (request.headers.get('content-type') ?? '').split(';')[0]?.trim().toLowerCase()
  if (type !== 'application/x-www-form-urlencoded') return problemReply(NOT_A_FORM)
  const body = await readShortBody(request)
  return typeof body === 'string' ? new URLSearchParams(body) : body
}

const NOT_A_FORM = problem(
  'content-type',
  415,
  'Unsupported content type',
  'Send the form of the page, as application/x-www-form-urlencoded.',
)
