import type { Ending } from '@/lib/hold/ending'

/** Why a sample proves nothing and has to be cut again, as a sentence that a day may end: "it was lost". */
export const FAILURES = {
  lapsed: 'its hold limit ended',
  lost: 'it was lost',
  returned: 'it was returned',
  rejected: 'the laboratory refused it',
  'cut again': 'the ruling was to cut it again',
} as const satisfies Record<'lapsed' | Exclude<Ending, 'cancelled'> | 'cut again', string>

export type Failure = keyof typeof FAILURES

/** Why a sample has to be cut again, as such a sentence. */
export function failedWords(reason: Failure | null): string {
  return reason === null ? 'it has to be cut again' : FAILURES[reason]
}
