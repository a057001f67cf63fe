import type { Standing } from '@/lib/hold/standing'
import type { Translate } from '@/lib/messages/translate'

const COUNTS = {
  lapsed: 'board.count.lapsed',
  'at risk': 'board.count.atRisk',
  tight: 'board.count.tight',
  sound: 'board.count.sound',
} as const

const STANDINGS = ['lapsed', 'at risk', 'tight', 'sound'] as const

/** The standings of a plant's open samples in one line: "1 lapsed, 2 at risk and 3 sound", "All 4 sound". */
export function formatBandSummary(t: Translate, standings: readonly Standing[]): string {
  if (standings.length === 0) return t('board.band.none')
  const count = (standing: Standing) => standings.filter((one) => one === standing).length
  if (count('sound') === standings.length) return t('board.band.allSound', { count: standings.length })
  return t.list(
    STANDINGS.filter((standing) => count(standing) > 0).map((standing) =>
      t(COUNTS[standing], { count: count(standing) }),
    ),
  )
}
