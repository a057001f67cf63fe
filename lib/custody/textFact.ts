import type { CustodyEvent } from './event'

/** A fact that is a text, trimmed, or a number, as text; null if it is empty or neither. */
export function readTextFact({ facts }: Pick<CustodyEvent, 'facts'>, name: string): string | null {
  const value = facts?.[name]
  if (typeof value === 'number') return String(value)
  return typeof value === 'string' && value.trim() !== '' ? value.trim() : null
}
