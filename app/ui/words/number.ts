import type { Translate } from '@/lib/messages/translate'

/** A count as prose writes it: in letters up to twelve, "no" for none, in digits beyond. */
export function spellNumber(t: Translate, count: number): string {
  return t('number.spelled', { count })
}

/** The same at the beginning of a sentence: "Two". */
export function spellFirstNumber(t: Translate, count: number): string {
  return t('number.spelledFirst', { count })
}
