import { CONDITIONS, type Condition, tally } from '@/lib/judgement/condition'
import type { MessageKey } from '@/lib/messages/message'
import type { Translate } from '@/lib/messages/translate'

export const CONDITION_COUNTS = {
  'to be replaced': 'board.count.toReplace',
  unfit: 'board.count.unfit',
  'in question': 'board.count.inQuestion',
  lapsed: 'board.count.lapsed',
  'at risk': 'board.count.atRisk',
  tight: 'board.count.tight',
  sound: 'board.count.sound',
  'of no use': 'board.count.ofNoUse',
} as const satisfies Record<Condition, MessageKey>

/** The conditions of a plant's open samples in one line: "1 to be replaced, 2 at risk and 3 sound", "All 4 sound". */
export function formatBandSummary(t: Translate, conditions: readonly Condition[]): string {
  if (conditions.length === 0) return t('board.band.none')
  const counts = tally(conditions)
  if (counts.sound === conditions.length) return t('board.band.allSound', { count: conditions.length })
  return t.list(
    CONDITIONS.filter((one) => counts[one] > 0).map((one) =>
      t(CONDITION_COUNTS[one], { count: counts[one] }),
    ),
  )
}
