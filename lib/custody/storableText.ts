const MAX_DEPTH = 16

/**
 * What keeps a text, or any text within a JSON value, from being stored as it was sent; undefined where nothing does.
 * PostgreSQL keeps neither the character NUL nor half of a surrogate pair.
 */
export function findTextFault(value: unknown, depth = 0): string | undefined {
  if (typeof value === 'string') {
    if (value.includes('\u0000')) return 'It holds the character NUL, which cannot be stored.'
    if (/\p{Surrogate}/u.test(value)) return 'It holds half of a surrogate pair, which is not valid Unicode.'
    return undefined
  }
  if (value === null || typeof value !== 'object') return undefined
  if (depth === MAX_DEPTH) return `It is nested more than ${MAX_DEPTH} levels deep.`
  for (const [key, member] of Object.entries(value)) {
    const fault = findTextFault(key) ?? findTextFault(member, depth + 1)
    if (fault) return fault
  }
  return undefined
}
