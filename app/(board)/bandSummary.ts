import { spellNumber } from '@/app/ui/words/number'
import type { Standing } from '@/lib/hold/standing'
import type { Translate } from '@/lib/messages/translate'

/** One line on how a plant's open samples stand: "one lapsed, two at risk", "all sound". */
export function formatBandSummary(t: Translate, standings: readonly Standing[]): string {
  if (standings.length === 0) return 'none under way'
  const parts = (['lapsed', 'at risk', 'tight'] as const).flatMap((standing) => {
    const count = standings.filter((one) => one === standing).length
    return count > 0 ? [`${spellNumber(t, count)} ${standing}`] : []
  })
  const sound = standings.filter((one) => one === 'sound').length
  if (parts.length === 0) return sound === 1 ? 'one, sound' : 'all sound'
  return sound > 0 ? `${parts.join(', ')}, ${spellNumber(t, sound)} sound` : parts.join(', ')
}
