import { SAMPLE_GROUPS, type SampleGroup, tally } from '@/lib/judgement/sampleGroup'
import type { MessageKey } from '@/lib/messages/message'
import type { Translate } from '@/lib/messages/translate'

export const GROUP_COUNTS = {
  'to be replaced': 'board.count.toReplace',
  unfit: 'board.count.unfit',
  'in question': 'board.count.inQuestion',
  lapsed: 'board.count.lapsed',
  'at risk': 'board.count.atRisk',
  tight: 'board.count.tight',
  sound: 'board.count.sound',
  'to be finished': 'board.count.toFinish',
  'of no use': 'board.count.ofNoUse',
} as const satisfies Record<SampleGroup, MessageKey>

/** The groups of a plant's listed samples in one line: "1 to be replaced, 2 at risk and 3 sound", "All 4 sound". */
export function formatBandSummary(t: Translate, groups: readonly SampleGroup[]): string {
  if (groups.length === 0) return t('board.band.none')
  const counts = tally(groups)
  if (counts.sound === groups.length) return t('board.band.allSound', { count: groups.length })
  return t.list(
    SAMPLE_GROUPS.filter((one) => counts[one] > 0).map((one) => t(GROUP_COUNTS[one], { count: counts[one] })),
  )
}
