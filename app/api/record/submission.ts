import { redirect303 } from '@/lib/access/session/signIn'
import { addTo } from '@/lib/custody/addTo'
import { toCanonical } from '@/lib/custody/kitCode'
import { jsonReply, problemReply } from '@/lib/intake/answers/reply'
import { LIMITS } from '@/lib/intake/formats/limits'
import { problem } from '@/lib/intake/formats/problem'
import { readBody } from '@/lib/intake/formats/readBody'
import type { FormFault } from '@/lib/intake/hand/parseEventForm'
import type { FormFields } from '@/lib/intake/hand/receiptForm'
import { english } from '@/lib/messages/english'
import type { Person, Principal } from '@/lib/policy/principal'
import { letOthersGoFirst } from '@/lib/store/scope/timeSlices'

/** The result of a submission. */
export type Outcome =
  | { kind: 'recorded' | 'already known'; token: string; events: string[] }
  | { kind: 'refused'; faults: FormFault[] }
  | { kind: 'not found' }
  | { kind: 'forbidden'; detail: string }

/**
 * Answers a person. A form is redirected to `page` (a path of ours): with the token under which it was recorded, or with
 * what was typed, which the page checks again and shows with its faults. JSON is answered with the same as JSON.
 */
export function respondWithOutcome(
  outcome: Outcome,
  submission: Submission,
  page: { path: string; typed: URLSearchParams; anchor: string },
): Response {
  switch (outcome.kind) {
    case 'not found':
      return problemReply(
        problem('no-sample', 404, 'No such sample', 'No sample that you may see has this code.'),
      )
    case 'forbidden':
      return problemReply(problem('not-yours', 403, 'Not allowed', outcome.detail))
    case 'refused': {
      if (submission.isForm) return redirect303(`${page.path}?${page.typed}#${page.anchor}`)
      const errors = outcome.faults.map(({ field, detail }) => ({
        pointer: `/${field}`,
        detail: english.message(detail),
      }))
      return problemReply(
        problem('not-recorded', 422, 'Nothing was recorded', errors[0]?.detail ?? '', { errors }),
      )
    }
    default:
      if (submission.isForm)
        return redirect303(`${page.path}?${new URLSearchParams({ done: outcome.token })}#done`)
      return jsonReply({ result: outcome.kind, events: outcome.events })
  }
}

/** A token lets the same form be sent twice and recorded once. */
function isToken(text: string): boolean {
  return /^[A-Za-z0-9_-]{16,64}$/.test(text)
}

const NO_TOKEN = problem(
  'no-token',
  422,
  'Nothing was recorded',
  'Send `token`: 16 to 64 letters and digits that you choose. Use the same one when you send the same again.',
)

/** The texts of a form or a JSON object, by name. */
export interface Submission extends FormFields {
  isForm: boolean
}

/** Reads a form of ours, or a JSON object with the same names. Returns a 4xx response where it cannot. */
async function parseSubmission(request: Request): Promise<Submission | Response> {
  const type = (request.headers.get('content-type') ?? '').split(';')[0]?.trim().toLowerCase()
  if (type !== 'application/x-www-form-urlencoded' && type !== 'application/json')
    return problemReply(
      problem(
        'content-type',
        415,
        'Unsupported content type',
        'Send application/json, or a form as application/x-www-form-urlencoded.',
      ),
    )
  const body = await readBody(request, LIMITS.handBytes, undefined, letOthersGoFirst)
  if (typeof body !== 'string') return problemReply(body)
  if (type === 'application/json') return parseJsonSubmission(body)
  return { isForm: true, ...toFormFields([...new URLSearchParams(body)]) }
}

function toFormFields(entries: readonly (readonly [string, string])[]): FormFields {
  const byName = new Map<string, string[]>()
  for (const [name, text] of entries) addTo(byName, name, text)
  return {
    get: (name) => byName.get(name)?.[0] ?? '',
    getAll: (name) => byName.get(name) ?? [],
    names: () => [...byName.keys()],
  }
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
  return { isForm: false, ...toFormFields(flatten(value)) }
}

/** Levels of names in a form: `condition.CODE.seal`. */
const MAX_LEVELS = 3

/** The texts in a JSON value by name: `{"condition": {"seal": "broken"}}` names `condition.seal`. */
function flatten(value: unknown, name: readonly string[] = []): [string, string][] {
  if (Array.isArray(value)) return value.flatMap((one) => (Array.isArray(one) ? [] : flatten(one, name)))
  if (typeof value === 'object' && value !== null)
    return name.length === MAX_LEVELS
      ? []
      : Object.entries(value).flatMap(([key, inner]) => flatten(inner, [...name, key]))
  return typeof value === 'string' || typeof value === 'number' || typeof value === 'boolean'
    ? [[name.join('.'), String(value)]]
    : []
}

/** The page to which a form returns: the plant's, the receiving list or the unmatched events, else the sample's. */
export function getReturnPath(from: string, sample: string, plant: string): string {
  if (from === 'receiving') return '/receiving'
  if (from === 'unplaced') return '/unplaced'
  if (from === 'plant') return `/plants/${encodeURIComponent(plant)}`
  return `/samples/${encodeURIComponent(toCanonical(sample))}`
}

/**
 * The person and what they submit. Returns the guard's response, 403 to a key, or a 4xx response to an invalid submission.
 * `asker`: what the guard returned.
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

/** The person who asks. Returns the guard's response, or 403 to a key. */
function requirePerson(principal: Principal | Response): Person | Response {
  if (principal instanceof Response || principal.kind === 'person') return principal
  return problemReply(
    problem('not-yours', 403, 'Not allowed', 'Only a person records by hand. Send events to /api/events.'),
  )
}
