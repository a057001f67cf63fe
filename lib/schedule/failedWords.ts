import type { Failure } from './progress'

const FAILED: Record<Failure, string> = {
  lapsed: 'its hold limit ended',
  lost: 'it was lost',
  returned: 'it was returned',
  rejected: 'the laboratory refused it',
  'cut again': 'the ruling was to cut it again',
}

/** Why a sample has to be cut again, as a sentence that a day may end: "it was lost". */
export function failedWords(reason: Failure | null): string {
  return reason === null ? 'it has to be cut again' : FAILED[reason]
}
