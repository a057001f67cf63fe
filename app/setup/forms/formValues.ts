/** The fields of a form as text, by name. */
export type FormValues = Record<string, string>

/** What is wrong in a form: in which field ('' for the whole of it), and what would be right. */
export interface FieldProblem {
  field: string
  detail: string
}

/** The fields of a form or an address; a field that comes twice counts once. */
export function formValues(fields: FormData | URLSearchParams): FormValues {
  const values: FormValues = {}
  for (const [name, value] of fields) if (typeof value === 'string') values[name] = value.trim()
  return values
}

/** A text that may be left out: undefined where it is empty, so that it is left out of an entry as well. */
export function optional(text: string | undefined): string | undefined {
  return text === undefined || text === '' ? undefined : text
}

/** The lines or parts of a field that holds several. */
export function partsOf(text: string | undefined, between: RegExp): string[] {
  return (text ?? '')
    .split(between)
    .map((part) => part.trim())
    .filter((part) => part !== '')
}
