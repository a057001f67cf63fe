import { redirect303 } from '@/lib/access/session/signIn'
import { toCanonical } from '@/lib/custody/kitCode'
import { jsonReply, problemReply } from '@/lib/intake/answers/reply'
import { problem } from '@/lib/intake/formats/problem'
import { readBody } from '@/lib/intake/formats/readBody'
import type { FormFault } from '@/lib/intake/hand/parseEventForm'
import type { Person, Principal } from '@/lib/policy/principal'

/** What became of something that a person recorded. */
export type Outcome =
  | { kind: 'recorded' | 'already known'; token: string; events: string[] }
  | { kind: 'refused'; faults: FormFault[] }
  | { kind: 'absent' }
  | { kind: 'not theirs'; detail: string }

/**
 * Answers a person. A form is led back to `page` (a path of ours): with the token under which it was recorded, or with what
 * was typed, which the page judges again and shows beside its fields. JSON gets the same as JSON.
 */
export function respondWithOutcome(
  outcome: Outcome,
  submission: Submission,
  page: { path: string; typed: URLSearchParams; anchor: string },
): Response {
  switch (outcome.kind) {
    case 'absent':
      return problemReply(
        problem('no-sample', 404, 'No such sample', 'No sample that you may see has this code.'),
      )
    case 'not theirs':
      return problemReply(problem('not-yours', 403, 'Not yours to record', outcome.detail))
    case 'refused':
      if (submission.isForm) return redirect303(`${page.path}?${page.typed}#${page.anchor}`)
      return problemReply(
        problem('not-recorded', 422, 'Nothing was recorded', outcome.faults[0]?.detail ?? '', {
          errors: outcome.faults.map(({ field, detail }) => ({ pointer: `/${field}`, detail })),
        }),
      )
    default:
      if (submission.isForm)
        return redirect303(`${page.path}?${new URLSearchParams({ done: outcome.token })}#done`)
      return jsonReply({ result: outcome.kind, events: outcome.events })
  }
}

/** A token made by a page, so that the same form sent twice records once. */
function isToken(text: string): boolean {
  return /^[A-Za-z0-9_-]{16,64}$/.test(text)
}

const NO_TOKEN = problem(
  'no-token',
  422,
  'Nothing was recorded',
  'Send `token`, 16 to 64 letters and digits of your own making; the same one when you send the same again.',
)

/** What a form or a JSON object says: each name with its texts. */
export interface Submission {
  isForm: boolean
  get(name: string): string
  getAll(name: string): string[]
}

/**
 * Reads what a person submits, as a form of ours or as a JSON object with the same names, or the response that says
 * why it is not taken.
 */
async function parseSubmission(request: Request): Promise<Submission | Response> {
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
  if (type === 'application/json') return parseJsonSubmission(body)
  const fields = new URLSearchParams(body)
  return { isForm: true, get: (name) => fields.get(name) ?? '', getAll: (name) => fields.getAll(name) }
}

function parseJsonSubmission(body: string): Submission | Response {
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
  return { isForm: false, get: (name) => texts(name)[0] ?? '', getAll: texts }
}

/** The page of ours to which a form leads back: the plant's or the receiving list, else the sample's. */
export function getReturnPath(from: string, sample: string, plant: string): string {
  if (from === 'receiving') return '/receiving'
  if (from === 'unplaced') return '/unplaced'
  if (from === 'plant') return `/plants/${encodeURIComponent(plant)}`
  return `/samples/${encodeURIComponent(toCanonical(sample))}`
}

/**
 * Who submits what by hand; or the response to give instead: the guard's, one to a key, or one that says why what was sent
 * is not taken. `asker` is who the guard says asks.
 */
export async function readSubmission(
  asker: Principal | Response,
  request: Request,
): Promise<{ person: Person; submission: Submission } | Response> {
  const person = requirePerson(asker)
  if (person instanceof Response) return person
  const submission = await parseSubmission(request)
  if (submission instanceof Response) return submission
  return isToken(submission.get('token')) ? { person, submission } : problemReply(NO_TOKEN)
}

/** The person who asks, or the response to give instead: that of the guard, or 403 to a key. */
function requirePerson(principal: Principal | Response): Person | Response {
  if (principal instanceof Response || principal.kind === 'person') return principal
  return problemReply(
    problem(
      'not-yours',
      403,
      'Not yours to ask',
      'Only a person records by hand; send events to /api/events.',
    ),
  )
}
