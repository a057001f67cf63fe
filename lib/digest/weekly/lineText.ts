import type { Translate } from '@/lib/messages/translate'
import type { ContentLine } from './sections'

/** What stands before a line: that it is new, and that it is overdue where its section does not say so. */
export function formatMark(t: Translate, { isNew, isOverdue }: ContentLine, isSaid: boolean): string {
  const marks = [...(isNew ? ['New'] : []), ...(isOverdue && !isSaid ? ['Overdue'] : [])]
  return marks.length === 0 ? '' : `${marks.join(', ')}: `
}

/** Why and by when: "cut on Tue 24 November, due Wed 25 November". */
export function formatFacts(t: Translate, { why, when }: ContentLine): string | null {
  const parts = [why, when].filter((part) => part !== null)
  return parts.length === 0 ? null : parts.join(', ')
}

/** A line as one plain sentence that can be acted on alone, and what is at stake as another. */
export function formatLine(t: Translate, line: ContentLine, isSaid: boolean): string {
  const facts = formatFacts(t, line)
  const sentence = `${formatMark(t, line, isSaid)}${line.act.text}${facts === null ? '' : `: ${facts}`}.`
  return line.stake ? `${sentence} ${line.stake}` : sentence
}

/** Some of a list, and how many more. */
export function listSome(t: Translate, all: readonly string[], most: number): string {
  const rest = all.length - most
  return rest > 0 ? `${all.slice(0, most).join(', ')} and ${rest} more` : all.join(', ')
}

/** A chance (0 to 1) in hundredths; none is ever certain. */
export function formatChance(t: Translate, chance: number): string {
  return chance >= 0.995 ? 'more than 99 %' : `${Math.round(chance * 100)} %`
}

/** A text is read in lines of so many characters at most in every mail program. */
const WIDTH = 76

/**
 * A paragraph in lines of 76 characters at most, broken at blanks; the first begins with `bullet`, and the others as
 * far in. A word that is longer stands on a line of its own.
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
