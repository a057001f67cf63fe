import { spellFirstNumber } from '@/app/ui/words/number'
import { countTally, SAMPLE_GROUPS, type SampleGroup } from '@/lib/judgement/sampleGroup'
import type { MessageKey } from '@/lib/messages/message'
import type { Translate } from '@/lib/messages/translate'
import type { Board } from '@/lib/store/read/board'
import { GROUP_COUNTS } from './bandSummary'

/** Groups of samples that need someone today, each with its sentence. */
const URGENT = [
  ['board.summary.toReplace', ['to be replaced']],
  ['board.summary.inQuestion', ['in question']],
  ['board.summary.atRisk', ['at risk']],
  ['board.summary.overdue', ['unfit', 'lapsed', 'tight', 'sound', 'to be finished', 'of no use']],
] as const satisfies readonly (readonly [MessageKey, readonly SampleGroup[]])[]

/** Groups of samples that can wait. Those of no use have a sentence of their own. */
const OTHERS = SAMPLE_GROUPS.filter((one) => one !== 'of no use')

/**
 * The board's heading, which says how many samples need someone today, the sentences under it, and those about samples that can
 * wait, which a small screen leaves to the bands.
 */
export function formatBoardSummary(
  t: Translate,
  counts: Board['counts'],
): { heading: string; rest: string; waiting: string } {
  const { total, groups, urgent } = counts
  if (total === 0) return { heading: t('board.heading.none'), rest: '', waiting: '' }
  const sentences = URGENT.flatMap(([text, those]) => {
    const count = countTally(urgent, those)
    return count > 0 ? [t(text, { count })] : []
  })
  const others = OTHERS.map((one) => [one, groups[one] - urgent[one]] as const)
    .filter(([, count]) => count > 0)
    .map(([one, count]) => t(GROUP_COUNTS[one], { count }))
  const waiting =
    others.length === 0
      ? []
      : [t(sentences.length > 0 ? 'board.summary.others' : 'board.summary.all', { counts: t.list(others) })]
  const idle = groups['of no use'] - urgent['of no use']
  if (idle > 0) waiting.push(t('board.summary.ofNoUse', { count: idle }))
  const count = countTally(urgent)
  const heading = t('board.heading', { count, number: spellFirstNumber(t, count) })
  // Where nobody is needed, what is under way is all there is to say.
  return sentences.length === 0
    ? { heading, rest: waiting.join(' '), waiting: '' }
    : { heading, rest: sentences.join(' '), waiting: waiting.join(' ') }
}
