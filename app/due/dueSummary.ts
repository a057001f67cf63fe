import { spellFirstNumber } from '@/app/ui/words/number'
import type { Translate } from '@/lib/messages/translate'

interface DueCounts {
  mine: number
  /** Theirs too: not overdue, and cannot wait. */
  pressing: number
  others: number
  setAside: number
  /** Steps that are due within two weeks. */
  coming: number
}

/** The heading of what is due, and the sentences below it: how much is overdue, and for whom. */
export function formatDueSummary(t: Translate, counts: DueCounts): { heading: string; rest: string } {
  const { mine, pressing, others, setAside, coming } = counts
  const rest = [
    ...(pressing > 0 ? [t('due.summary.pressing', { count: pressing })] : []),
    ...(mine > 0 && others > 0 ? [t('due.summary.others', { count: others })] : []),
    ...(setAside > 0 ? [t('due.summary.setAside', { count: setAside })] : []),
    t('due.summary.coming', { count: coming }),
  ]
  return { heading: formatHeading(t, mine, others), rest: rest.join(' ') }
}

function formatHeading(t: Translate, mine: number, others: number): string {
  if (mine > 0) return t('due.heading.mine', { count: mine, number: spellFirstNumber(t, mine) })
  return others > 0 ? t('due.heading.others', { count: others }) : t('due.heading.none')
}
