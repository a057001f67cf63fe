import type { Translate } from '@/lib/messages/translate'
import type { ContentLine } from './sections'

/** Marks a line as new, and as overdue where its section does not say so; null where it is neither. */
export function formatMark(
  t: Translate,
  { isNew, isOverdue }: ContentLine,
  isSectionOverdue: boolean,
): string | null {
  const isMarkedOverdue = isOverdue && !isSectionOverdue
  if (isNew) return t(isMarkedOverdue ? 'mail.mark.newAndOverdue' : 'mail.mark.new')
  return isMarkedOverdue ? t('mail.mark.overdue') : null
}

/** A line as sentences: what to do, why, by when, and what is at stake. */
export function formatLine(t: Translate, line: ContentLine, isSectionOverdue: boolean): string {
  const { act, why, when, stake } = line
  const sentences = [
    formatMark(t, line, isSectionOverdue),
    t('mail.line', { act: act.text }),
    why,
    when,
    stake,
  ]
  return sentences.filter((one) => one).join(' ')
}

/** Some of a list, and how many more. */
export function listSome(t: Translate, all: readonly string[], max: number): string {
  const rest = all.length - max
  return t.list(rest > 0 ? [...all.slice(0, max), t('mail.moreNames', { count: rest })] : all)
}

/** A chance (0 to 1) in percent; none is shown as certain. */
export function formatChance(t: Translate, chance: number): string {
  return chance >= 0.995
    ? t('mail.chance.almostCertain')
    : t('chance.percent', { percent: Math.round(chance * 100) })
}

/** Characters in a line of plain text: every mail program shows so many. */
const WIDTH = 76

/**
 * Breaks a paragraph at blanks into lines of at most 76 characters. The first begins with `bullet`, and the others are
 * indented as far. A longer word has a line of its own.
 */
export function wrapText(text: string, bullet = ''): string {
  const indent = ' '.repeat(bullet.length)
  const lines: string[] = []
  let line = bullet
  let isFirst = true
  for (const word of text.split(/\s+/)) {
    const longer = isFirst ? line + word : `${line} ${word}`
    if (isFirst || longer.length <= WIDTH) {
      line = longer
      isFirst = false
      continue
    }
    lines.push(line)
    line = indent + word
  }
  return [...lines, line].join('\n')
}
