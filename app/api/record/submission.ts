import { problemReply } from '@/lib/intake/answers/reply'
import { problem } from '@/lib/intake/formats/problem'
import { readBody } from '@/lib/intake/formats/readBody'

/** What a form or a JSON object says: each name with its texts. */
export interface Submission {
  isForm: boolean
  one(name: string): string
  all(name: string): string[]
}

/**
 * Reads what a person submits, as a form of ours or as a JSON object with the same names, or the response that says
 * why it is not taken.
 */
export async function submissionOf(request: Request): Promise<Submission | Response> {
  const type = (request.headers.get('content-type') ?? '').split(';')[0]?.trim().toLowerCase()
  if (type !== 'application/x-www-form-urlencoded' && type !== 'application/json')
    return problemReply(
      problem(
        'content-type',
        415,
        'Content type not taken',
        'Send application/json, or a form as application/x-www-form-urlencoded.',
      ),
    )
  const body = await readBody(request)
  if (typeof body !== 'string') return problemReply(body)
  if (type === 'application/json') return fromJson(body)
  const fields = new URLSearchParams(body)
  return { isForm: true, one: (name) => fields.get(name) ?? '', all: (name) => fields.getAll(name) }
}

function fromJson(body: string): Submission | Response {
  const unreadable = (detail: string) =>
    problemReply(problem('unreadable-body', 400, 'Body cannot be read', detail))
  let value: unknown
  try {
    value = JSON.parse(body)
  } catch (error) {
    return unreadable(`The body is not JSON: ${(error as Error).message}.`)
  }
  if (value === null || typeof value !== 'object' || Array.isArray(value))
    return unreadable('Send one JSON object.')
  const fields = value as Record<string, unknown>
  const texts = (name: string) =>
    (Object.hasOwn(fields, name) ? [fields[name]].flat() : []).flatMap((one) =>
      typeof one === 'string' || typeof one === 'number' ? [String(one)] : [],
    )
  return { isForm: false, one: (name) => texts(name)[0] ?? '', all: texts }
}
