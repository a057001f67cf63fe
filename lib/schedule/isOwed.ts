import type { PURPOSES } from '@/lib/custody/registerDocument'

/** The purposes of kits whose samples can be what a duty asks for: a duplicate or a retained one is never owed. */
export const OWED_PURPOSES: readonly (typeof PURPOSES)[number][] = ['first', 're-collection']

/** Whether a sample of a purpose can be what a duty asks for, and is replaced where it proves nothing. */
export function isOwed(purpose: string): boolean {
  return OWED_PURPOSES.some((one) => one === purpose)
}
