import type { OutlineLine } from './sections'

/** What stands before a line: that it is new, and that it is overdue where its section does not say so. */
export function markOf({ isNew, isOverdue }: OutlineLine, isSaid: boolean): string {
  const marks = [...(isNew ? ['New'] : []), ...(isOverdue && !isSaid ? ['Overdue'] : [])]
  return marks.length === 0 ? '' : `${marks.join(', ')}: `
}

/** Why and by when: "cut on Tue 24 November, due Wed 25 November". */
export function factsOf({ why, when }: OutlineLine): string | null {
  const parts = [why, when].filter((part) => part !== null)
  return parts.length === 0 ? null : parts.join(', ')
}

/** A line as one plain sentence that can be acted on alone, and what is at stake as another. */
export function sentenceOf(line: OutlineLine, isSaid: boolean): string {
  const facts = factsOf(line)
  const sentence = `${markOf(line, isSaid)}${line.act.text}${facts === null ? '' : `: ${facts}`}.`
  return line.stake ? `${sentence} ${line.stake}` : sentence
}
