import { type Digest, isOverdue } from './digest'
import type { WordedItem } from './sections'

/** The subject: what of it is theirs, and for administrators how much is overdue with others. */
export function subjectOf({ toDo, others, seesAll, week }: Digest): string {
  const mine = toDo.filter(isOverdue).length
  const more = toDo.length - mine
  const parts = [
    ...(mine > 0 ? [`${mine} overdue and yours to do`] : []),
    ...(more > 0 ? [mine > 0 ? `${more} more to do` : `${more} to do`] : []),
    ...(seesAll && others.length > 0 ? [`${others.length} overdue with others`] : []),
  ]
  return `Holdfast ${week}: ${parts.length > 0 ? parts.join(', ') : 'nothing to do'}`
}

/** What to do first, and by when; or that there is nothing. */
export function leadOf({ toDo, others, seesAll }: Digest, first: WordedItem | null): string {
  if (!first) {
    if (others.length === 0) return 'Nothing is overdue, and nothing is yours to do.'
    const what = `${others.length} ${others.length === 1 ? 'thing is' : 'things are'} overdue with others.`
    return seesAll ? `Nothing is yours to do. ${what}` : 'Nothing is yours to do.'
  }
  const { act, why, when, stake } = first.words
  // While a sample can be lost, until when is all that counts.
  const because = first.item.loss?.of === 'sample' ? null : (when ?? why)
  const sentence = `${act.charAt(0).toLowerCase()}${act.slice(1)}${because === null ? '' : `: ${because}`}.`
  return [
    ...(toDo.some(isOverdue) ? [] : ['Nothing of yours is overdue.']),
    `First: ${sentence}`,
    ...(stake === null ? [] : [stake]),
  ].join(' ')
}
