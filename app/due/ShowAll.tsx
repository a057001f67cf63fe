import { useTranslate } from '#translate'
import { rich } from '@/app/ui/language/rich'
import { type DueFilter, formatDueUrl } from './dueFilter'

/** Says that a list is cut, and how to see the rest. */
export function ShowAll({
  count,
  message,
  filter,
}: {
  count: number
  message: 'due.more.tasks' | 'due.more.tests' | 'due.more.steps'
  filter: DueFilter
}) {
  const t = useTranslate()
  if (count <= 0) return null
  const href = formatDueUrl(filter, { all: 'yes' })
  return <p className="prose">{rich(t, message, { count, link: (text) => <a href={href}>{text}</a> })}</p>
}

/** The most tasks, tests and steps in a list that is not shown whole. Chosen, no source. */
export const MAX_OVERDUE = 150
export const MAX_TESTS = 60
export const MAX_STEPS = 150

/** The first `max` lines, and any later line for which `isKept` holds. */
export function takeFirst<Line>(
  lines: readonly Line[],
  max: number,
  isKept: (line: Line) => boolean = () => false,
): readonly Line[] {
  return lines.length <= max ? lines : lines.filter((line, index) => index < max || isKept(line))
}
