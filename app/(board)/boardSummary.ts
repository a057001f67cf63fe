import { spellFirstNumber } from '@/app/ui/words/number'
import type { Translate } from '@/lib/messages/translate'
import type { Board } from '@/lib/store/read/board'

/** The board's heading, which says how many samples need someone today, and the sentences under it. */
export function formatBoardSummary(t: Translate, counts: Board['counts']): { heading: string; rest: string } {
  const { open, lapsed, replaced, notOwed, atRisk } = counts
  if (open === 0) return { heading: t('board.heading.none'), rest: '' }
  const toReplace = lapsed - replaced - notOwed
  const others = listOthers(t, counts)
  const sentences: string[] = []
  if (toReplace > 0) sentences.push(t('board.summary.toReplace', { count: toReplace }))
  if (atRisk > 0) sentences.push(t('board.summary.atRisk', { count: atRisk }))
  if (others.length > 0)
    sentences.push(
      t(sentences.length > 0 ? 'board.summary.others' : 'board.summary.all', { counts: t.list(others) }),
    )
  const count = toReplace + atRisk
  const heading = t('board.heading', { count, number: spellFirstNumber(t, count) })
  return { heading, rest: sentences.join(' ') }
}

/** The counts of samples that need nobody today. */
function listOthers(t: Translate, { replaced, notOwed, tight, sound }: Board['counts']): string[] {
  return [
    ...(replaced > 0 ? [t('board.count.replaced', { count: replaced })] : []),
    ...(notOwed > 0 ? [t('board.count.notOwed', { count: notOwed })] : []),
    ...(tight > 0 ? [t('board.count.tight', { count: tight })] : []),
    ...(sound > 0 ? [t('board.count.sound', { count: sound })] : []),
  ]
}
