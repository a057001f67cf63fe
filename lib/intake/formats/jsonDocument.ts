import { cutObject, type JsonItem } from './jsonItems'
import { BodyLimitError, type DOCUMENT_LIMITS } from './limits'

/**
 * Parses a JSON document of lists as JSON.parse does, with a short step for each entry, so that the caller can pause.
 *
 * Errors: SyntaxError if it is not JSON; BodyLimitError if it is beyond the limits. Their messages go to the sender.
 */
export function* parseDocument(text: string, limits: typeof DOCUMENT_LIMITS): Generator<undefined, unknown> {
  const members = new Map<string, unknown>()
  let name: string | null = null
  let list: unknown[] | null = null
  const alone: unknown[] = []
  let count = 0
  try {
    for (const one of cutObject(text)) {
      if (one === null) {
        yield
        continue
      }
      if ('name' in one) {
        name = one.name
        list = one.isList ? [] : null
        // A name that comes twice counts where it comes first, with its last value.
        members.set(name, list)
        continue
      }
      count += 1
      checkLimits(one, count, limits)
      const value: unknown = JSON.parse(one.text)
      if (list !== null) list.push(value)
      else if (name !== null) members.set(name, value)
      else alone.push(value)
      yield
    }
  } catch (error) {
    if (!(error instanceof SyntaxError)) throw error
    throw new SyntaxError(`The body is not JSON: ${error.message}.`)
  }
  if (/^[ \t\n\r]*\{/.test(text)) return Object.fromEntries(members)
  return /^[ \t\n\r]*\[/.test(text) ? alone : alone[0]
}

function checkLimits(item: JsonItem, count: number, limits: typeof DOCUMENT_LIMITS): void {
  if (count > limits.entries) throw new BodyLimitError('entries', limits.entries)
  if (item.text.length > limits.entryLength) throw new BodyLimitError('characters', limits.entryLength)
  if (item.commas > limits.entryValues) throw new BodyLimitError('values', limits.entryValues)
  if (item.depth > limits.depth) throw new BodyLimitError('levels', limits.depth)
}
