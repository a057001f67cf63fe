import type { Board } from '@/lib/store'
import { capitalised, countOf, numberWords } from './numberWords'

/** How many samples need someone today, as a heading, and the rest as the sentence under it. */
export function boardSentence(counts: Board['counts']): { heading: string; rest: string } {
  const { open, lapsed, atRisk, tight, sound } = counts
  const needing = lapsed + atRisk
  if (open === 0) return { heading: 'No sample is under way.', rest: '' }
  const heading =
    needing === 0
      ? 'No sample needs anyone today.'
      : `${capitalised(countOf(needing, 'sample needs', 'samples need'))} someone today.`
  const parts = [
    lapsed > 0 ? `${capitalised(numberWords(lapsed))} lapsed and must be cut again` : '',
    atRisk > 0 ? `${numberWords(atRisk)} at risk but can still make it` : '',
  ].filter((part) => part !== '')
  const first = parts.length > 0 ? `${capitalised(parts.join(', '))}. ` : ''
  const under = open === 1 ? 'One is under way' : `${capitalised(numberWords(open))} are under way`
  const tightWords = tight > 0 ? `${numberWords(tight)} of them tight, ` : ''
  return {
    heading,
    rest: `${first}${under}, ${tightWords}${sound === 0 ? 'none' : numberWords(sound)} sound.`,
  }
}
