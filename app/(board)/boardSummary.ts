import { formatList, spellCount, spellNumber } from '@/app/ui/words/number'
import type { Translate } from '@/lib/messages/translate'
import { capitalised } from '@/lib/schedule/firstLetter'
import type { Board } from '@/lib/store/read/board'

/** How many samples need someone today, as a heading, and the rest as the sentence under it. */
export function formatBoardSummary(t: Translate, counts: Board['counts']): { heading: string; rest: string } {
  const { open, lapsed, replaced, notOwed, atRisk, tight, sound } = counts
  const toReplace = lapsed - replaced - notOwed
  const needing = toReplace + atRisk
  if (open === 0) return { heading: 'No sample is under way.', rest: '' }
  const heading =
    needing === 0
      ? 'No sample needs anyone today.'
      : `${capitalised(spellCount(t, needing, 'sample needs', 'samples need'))} someone today.`
  const parts = [
    toReplace > 0 ? `${spellNumber(t, toReplace)} lapsed and must be replaced` : '',
    atRisk > 0
      ? `${spellNumber(t, atRisk)} ${atRisk === 1 ? 'is' : 'are'} at risk and can still make it`
      : '',
  ].filter((part) => part !== '')
  const first = parts.length > 0 ? `${capitalised(parts.join('; '))}. ` : ''
  if (open === 1) return { heading, rest: `${first}One is under way${sound === 1 ? ', and sound' : ''}.` }
  const others = [
    replaced > 0 ? `${spellNumber(t, replaced)} ${replaced === 1 ? 'is' : 'are'} replaced` : '',
    notOwed > 0 ? `${spellNumber(t, notOwed)} lapsed that no duty asks for` : '',
    tight > 0 ? `${spellNumber(t, tight)} ${tight === 1 ? 'is' : 'are'} tight` : '',
    `${sound === 0 ? 'none' : spellNumber(t, sound)} ${sound === 1 ? 'is' : 'are'} sound`,
  ].filter((part) => part !== '')
  return { heading, rest: `${first}Of the ${spellNumber(t, open)} under way ${formatList(t, others)}.` }
}
