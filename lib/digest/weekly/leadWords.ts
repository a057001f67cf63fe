import { actorName } from '@/lib/judgement/dueWords'
import { lowered } from '@/lib/schedule/firstLetter'
import { type Digest, isOverdue } from './digest'
import type { DigestItem } from './item'
import type { WordedItem } from './sections'

/** The subject: what of it is theirs, and for whoever sees all how much is overdue with others. */
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

/** So many things that others have to do stand at the top. */
const MOST_SOONER = 3

/**
 * What to do first, and by when; or that there is nothing. Then, a paragraph each, what others have to do (`theirs`, most
 * pressing first) that can still be saved and is lost sooner: an administrator has to see to it.
 */
export function leadOf(
  { toDo, others, seesAll, names }: Digest,
  first: WordedItem | null,
  theirs: readonly WordedItem[],
): string {
  const ownLossAt = first?.item.loss?.at ?? Number.POSITIVE_INFINITY
  const sooner = theirs.filter(({ item }) => item.loss !== null && item.loss.at < ownLossAt)
  const paragraphs = sooner.slice(0, MOST_SOONER).map(({ item, words }, index) => {
    const start = index === 0 ? 'Lost sooner, with others: ' : ''
    return `${start}${actorName(item.actor, names)} has to ${lowered(words.act)}. ${words.stake ?? ''}`.trimEnd()
  })
  const more = sooner.length - MOST_SOONER
  return [
    first ? ownLead(toDo, first) : nothingOf(others, seesAll),
    ...paragraphs,
    ...(more > 0 ? [`And ${more} more with others ${more === 1 ? 'is' : 'are'} lost sooner.`] : []),
  ].join('\n')
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
