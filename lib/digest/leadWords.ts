import { actorName } from '@/lib/schedule/dueWords'
import { type Digest, isOverdue } from './digest'
import type { DigestItem } from './item'
import type { WordedItem } from './sections'

/** The subject: what of it is theirs, and for administrators how much is overdue with others. */
export function subjectOf({ toDo, others, seesAll, week }: Digest): string {
  const mine = toDo.filter(isOverdue).length
  const more = toDo.length - mine
  const late = others.filter(isOverdue).length
  const parts = [
    ...(mine > 0 ? [`${mine} overdue and yours to do`] : []),
    ...(more > 0 ? [mine > 0 ? `${more} more to do` : `${more} to do`] : []),
    ...(seesAll && late > 0 ? [`${late} overdue with others`] : []),
  ]
  return `Holdfast ${week}: ${parts.length > 0 ? parts.join(', ') : 'nothing to do'}`
}

/**
 * What to do first, and by when; or that there is nothing. Then what others have to do first (`theirs`), where that can
 * still be saved and is lost sooner: an administrator has to see to it.
 */
export function leadOf(
  { toDo, others, seesAll, names }: Digest,
  first: WordedItem | null,
  theirs: WordedItem | null,
): string {
  const own = first ? ownLead(toDo, first) : nothingOf(others, seesAll)
  const loss = theirs?.item.loss ?? null
  if (!theirs || !loss || loss.at >= (first?.item.loss?.at ?? Number.POSITIVE_INFINITY)) return own
  const { act, stake } = theirs.words
  const who = actorName(theirs.item.actor, names)
  return `${own}\nLost sooner, with others: ${who} has to ${lowered(act)}. ${stake ?? ''}`.trimEnd()
}

function ownLead(toDo: readonly DigestItem[], { item, words }: WordedItem): string {
  const { act, why, when, stake } = words
  // While a sample can be lost, until when is all that counts.
  const because = item.loss?.of === 'sample' ? null : (when ?? why)
  return [
    toDo.some(isOverdue) ? '' : 'Nothing of yours is overdue.',
    `First: ${lowered(act)}${because === null ? '' : `: ${because}`}.`,
    stake ?? '',
  ]
    .filter((part) => part !== '')
    .join(' ')
}

function nothingOf({ length }: readonly DigestItem[], seesAll: boolean): string {
  if (length === 0) return 'Nothing is overdue, and nothing is yours to do.'
  if (!seesAll) return 'Nothing is yours to do.'
  return `Nothing is yours to do. ${length} ${length === 1 ? 'thing waits' : 'things wait'} for others.`
}

function lowered(sentence: string): string {
  return sentence.charAt(0).toLowerCase() + sentence.slice(1)
}
