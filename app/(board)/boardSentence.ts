import { countOf, listed, numberWords } from '@/app/ui/words/numberWords'
import { capitalised } from '@/lib/schedule/firstLetter'
import type { Board } from '@/lib/store/read/board'

/** How many samples need someone today, as a heading, and the rest as the sentence under it. */
export function boardSentence(counts: Board['counts']): { heading: string; rest: string } {
  const { open, lapsed, replaced, notOwed, atRisk, tight, sound } = counts
  const toReplace = lapsed - replaced - notOwed
  const needing = toReplace + atRisk
  if (open === 0) return { heading: 'No sample is under way.', rest: '' }
  const heading =
    needing === 0
      ? 'No sample needs anyone today.'
      : `${capitalised(countOf(needing, 'sample needs', 'samples need'))} someone today.`
  const parts = [
    toReplace > 0 ? `${numberWords(toReplace)} lapsed and must be replaced` : '',
    atRisk > 0 ? `${numberWords(atRisk)} ${atRisk === 1 ? 'is' : 'are'} at risk and can still make it` : '',
  ].filter((part) => part !== '')
  const first = parts.length > 0 ? `${capitalised(parts.join('; '))}. ` : ''
  if (open === 1) return { heading, rest: `${first}One is under way${sound === 1 ? ', and sound' : ''}.` }
  const others = [
    replaced > 0 ? `${numberWords(replaced)} ${replaced === 1 ? 'is' : 'are'} replaced` : '',
    notOwed > 0 ? `${numberWords(notOwed)} lapsed that no duty asks for` : '',
    tight > 0 ? `${numberWords(tight)} ${tight === 1 ? 'is' : 'are'} tight` : '',
    `${sound === 0 ? 'none' : numberWords(sound)} ${sound === 1 ? 'is' : 'are'} sound`,
  ].filter((part) => part !== '')
  return { heading, rest: `${first}Of the ${numberWords(open)} under way ${listed(others)}.` }
}
