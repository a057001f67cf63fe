import { type Message, message } from '@/lib/messages/message'

const MAX_DEPTH = 16

/**
 * Why a text, or a text within a JSON value, cannot be stored unchanged; undefined if it can. PostgreSQL stores neither
 * the character NUL nor half of a surrogate pair.
 */
export function findTextFault(value: unknown, depth = 0): Message | undefined {
  if (typeof value === 'string') {
    if (value.includes('\u0000')) return message('text.nul')
    if (/\p{Surrogate}/u.test(value)) return message('text.surrogate')
    return undefined
  }
  if (value === null || typeof value !== 'object') return undefined
  if (depth === MAX_DEPTH) return message('text.depth', { levels: MAX_DEPTH })
  for (const [key, member] of Object.entries(value)) {
    const fault = findTextFault(key) ?? findTextFault(member, depth + 1)
    if (fault) return fault
  }
  return undefined
}
