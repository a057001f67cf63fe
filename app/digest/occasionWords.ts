import { displayCode } from '@/lib/custody/kitCode'
import { readOccasion } from '@/lib/digest/alerts/atOnceOccasion'

/** What a mail was for: a week, or a turn of a sample that it tells of at once, and of so many more that turned alike. */
export function occasionWords(occasion: string, more = 0): string {
  const turn = readOccasion(occasion)
  if (turn === null) return `week ${occasion}`
  return `at once: ${displayCode(turn.code)}${more > 0 ? ` and ${more} more,` : ''} ${turn.kind}`
}
