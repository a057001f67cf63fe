import type { CustodyEvent } from './event'

/** A fact that is a text, trimmed; null if it is empty or none. */
export function readTextFact({ facts }: Pick<CustodyEvent, 'facts'>, name: string): string | null {
  const value = facts?.[name]
  return typeof value === 'string' && value.trim() !== '' ? value.trim() : null
}
