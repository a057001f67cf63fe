import { bandWords } from '@/app/(board)/bandWords'
import { capitalised, countOf, numberWords } from '@/app/ui/words/numberWords'
import type { Standing } from '@/lib/hold/standing'

/** What a plant has to know first: how many of its samples need someone today, and how the rest stand. */
export function plantSentence(standings: readonly Standing[]): string {
  const needing = standings.filter((one) => one === 'lapsed' || one === 'at risk').length
  if (standings.length === 0) return 'No sample of this plant is under way.'
  const need =
    needing === 0
      ? 'No sample needs anyone today'
      : `${countOf(needing, 'sample needs', 'samples need')} someone today`
  const open = `${numberWords(standings.length)} ${standings.length === 1 ? 'is' : 'are'} under way`
  return `${capitalised(need)}; ${open}: ${bandWords(standings)}.`
}
