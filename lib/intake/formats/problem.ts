/** One fault of an item: the field it is on (a JSON pointer), what is wrong, and what would be right. */
export interface FieldFault {
  pointer: string
  detail: string
  right: string
}

/** A problem report of RFC 9457; `errors` has a row for each fault. */
export interface Problem {
  type: string
  title: string
  status: number
  detail: string
  errors?: FieldFault[]
  [extension: string]: unknown
}

export const PROBLEM_CONTENT_TYPE = 'application/problem+json'

/** Makes a problem report. `slug` names its type and stays the same for good. */
export function problem(
  slug: string,
  status: number,
  title: string,
  detail: string,
  more: object = {},
): Problem {
  return { type: `urn:holdfast:problem:${slug}`, title, status, detail, ...more }
}
