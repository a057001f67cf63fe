import { useTranslate } from '#translate'
import { spellCount } from '@/app/ui/words/number'
import { capitalised } from '@/lib/schedule/firstLetter'
import { type DueFilter, formatDueUrl } from './dueFilter'

/** That a list goes on, and how to see the rest. */
export function ShowAll({ count, one, filter }: { count: number; one: string; filter: DueFilter }) {
  const t = useTranslate()
  if (count <= 0) return null
  return (
    <p className="prose">
      {capitalised(spellCount(t, count, `more ${one}`))} {count === 1 ? 'is' : 'are'} not shown. Choose a
      plant above, or by whom it is to be done, to see fewer together, or{' '}
      <a href={formatDueUrl(filter, { all: 'yes' })}>show all</a>.
    </p>
  )
}

/** So many overdue things, lines of tests and acts to come are shown at once, unless all are asked for. Chosen, no source. */
export const MAX_OVERDUE = 150
export const MAX_TESTS = 60
export const MAX_ACTS = 150

/** The first of some lines, at most `most`, and wherever it stands the one for which `isKept` holds. */
export function takeFirst<Line>(
  lines: readonly Line[],
  most: number,
  isKept: (line: Line) => boolean = () => false,
): readonly Line[] {
  return lines.length <= most ? lines : lines.filter((line, index) => index < most || isKept(line))
}
