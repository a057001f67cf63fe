import { spellCount, spellNumber } from '@/app/ui/words/number'
import type { Translate } from '@/lib/messages/translate'
import { capitalised } from '@/lib/schedule/firstLetter'

/** The heading of what is due, and the sentence below it: how much is overdue, and for whom. */
export function formatDueSummary(
  t: Translate,
  {
    mine,
    others,
    aside,
    coming,
  }: {
    mine: number
    others: number
    aside: number
    /** Acts that are due within two weeks. */
    coming: number
  },
): { heading: string; rest: string } {
  const rest = [
    mine > 0 && others > 0 && `${capitalised(spellCount(t, others, 'more waits', 'more wait'))} for others.`,
    aside > 0 && `${capitalised(spellCount(t, aside, 'is', 'are'))} left aside for a while.`,
    `${capitalised(spellCount(t, coming, 'act is', 'acts are'))} due within two weeks.`,
  ]
  return { heading: formatHeading(t, mine, others), rest: rest.filter((one) => one !== false).join(' ') }
}

function formatHeading(t: Translate, mine: number, others: number): string {
  if (mine > 0)
    return `${capitalised(spellCount(t, mine, 'overdue thing is', 'overdue things are'))} yours to do.`
  if (others === 0) return 'Nothing is overdue.'
  return `Nothing overdue is yours to do; ${spellNumber(t, others)} ${others === 1 ? 'waits' : 'wait'} for others.`
}

/** How long ago a local day was: "today", "1 day", "12 days". */
export function formatDaysAgo(t: Translate, days: number): string {
  if (days <= 0) return 'today'
  return days === 1 ? '1 day' : `${days} days`
}

/** How far a local day is ahead: "today", "tomorrow", "in 5 days". */
export function formatDaysAhead(t: Translate, days: number): string {
  if (days <= 0) return 'today'
  return days === 1 ? 'tomorrow' : `in ${days} days`
}
