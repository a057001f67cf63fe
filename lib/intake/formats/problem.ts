import { english } from '@/lib/messages/english'
import type { Message } from '@/lib/messages/message'

/** One fault of an item: the field as a JSON pointer, what is wrong, and what would be right. */
export interface FieldFault {
  pointer: string
  detail: Message
  right: Message
}

/** The same in the English of the API, on the wire. */
export interface FieldProblem {
  pointer: string
  detail: string
  right?: string
}

export function toFieldProblem({ pointer, detail, right }: FieldFault): FieldProblem {
  return { pointer, detail: english.message(detail), right: english.message(right) }
}

/** Problem details (RFC 9457), in English; `errors` has a row for each fault. */
export interface Problem {
  type: string
  title: string
  status: number
  detail: string
  errors?: FieldProblem[]
  [extension: string]: unknown
}

export const PROBLEM_CONTENT_TYPE = 'application/problem+json'

/** `slug` names the problem's type and never changes. */
export function problem(
  slug: string,
  status: number,
  title: string,
  detail: string,
  more: object = {},
): Problem {
  return { type: `urn:holdfast:problem:${slug}`, title, status, detail, ...more }
}
