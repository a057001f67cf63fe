import { displayCode } from '@/lib/custody/kitCode'
import { readOccasion } from '@/lib/digest/atOnceOccasion'

/** What a mail was for: a week, or a turn of a sample that it tells of at once. */
export function occasionWords(occasion: string): string {
  const turn = readOccasion(occasion)
  return turn === null ? `week ${occasion}` : `at once: ${displayCode(turn.code)} ${turn.kind}`
}
