import type { Translate } from '@/lib/messages/translate'

const SMALL_NUMBERS = [
  'no',
  'one',
  'two',
  'three',
  'four',
  'five',
  'six',
  'seven',
  'eight',
  'nine',
  'ten',
  'eleven',
  'twelve',
]

/** A count as prose writes it: in words up to twelve, "no" for none, in digits with commas beyond. */
export function spellNumber(t: Translate, count: number): string {
  return SMALL_NUMBERS[count] ?? count.toLocaleString('en-GB')
}

/** "one sample", "two samples", "no samples". */
export function spellCount(t: Translate, count: number, singular: string, plural = `${singular}s`): string {
  return `${spellNumber(t, count)} ${count === 1 ? singular : plural}`
}

/** "a", "a and b", "a, b and c". */
export function formatList(t: Translate, parts: readonly string[]): string {
  if (parts.length < 2) return parts.join('')
  return `${parts.slice(0, -1).join(', ')} and ${parts.at(-1)}`
}
