import { actorName } from '@/lib/judgement/dueWords'
import { lowered } from '@/lib/schedule/firstLetter'
import { type DateWords, dateWords } from './dateWords'
import { type Digest, isOverdue } from './digest'
import type { DigestItem } from './item'
import { itemWords } from './itemWords'
import { byPlant, byStake, footOf, lineWriter, type Outline, type WordedItem, type Written } from './sections'
import { listed } from './sentence'

/** The most lines of a part: a mail is to be read, not searched. */
const MOST_YOURS = 20
const MOST_OTHERS = 25
const MOST_COMING = 10
const MOST_NAMES = 12

/** Puts a digest into words. Links lead to pages of `siteUrl`; `stopUrl` is where the mail is stopped. */
export function outlineOf(digest: Digest, siteUrl: string, stopUrl: string): Outline {
  const { person, toDo, others, coming, week, asOf, standsFor, seesAll, names, zones } = digest
  const words = dateWords(person.language, { zone: person.zone, asOf })
  const basis = { names, zones, words, reader: digest.reader }
  const write = lineWriter(siteUrl, digest.changed?.added ?? new Set())
  const see = (text: string) => ({ text, url: `${siteUrl}/due` })
  const isElsewhere = ({ plant }: DigestItem) => plant !== person.plants[0]
  const namesPlant = seesAll || person.plants.length !== 1 || [...toDo, ...coming].some(isElsewhere)
  const inWords = (items: Digest['toDo'], isGrouped = false) =>
    items.map((item) => ({
      item,
      words: itemWords(item, { ...basis, namesPlant: !isGrouped && namesPlant }),
    }))
  const yours = inWords(toDo.slice(0, MOST_YOURS))
  const theirs = inWords(seesAll ? others.slice(0, MOST_OTHERS) : [], true)
  const ahead = inWords(coming.slice(0, MOST_COMING), seesAll)
  const more = (all: readonly unknown[], shown: readonly unknown[]) =>
    all.length > shown.length ? see(`And ${all.length - shown.length} more: see what is due`) : null
  const sections: Written[] = [
    yours.length > 0 && {
      heading: 'Yours to do',
      note: null,
      groups: byStake(yours, write),
      more: more(toDo, yours),
      isOverdue: toDo.every(isOverdue),
    },
    theirs.length > 0 && {
      heading: 'With plants and laboratories: overdue or at risk',
      note: null,
      groups: byPlant(theirs, names, write),
      more: more(others, theirs),
      isOverdue: others.every(isOverdue),
    },
    changedSection(digest, words),
    waitingSection(digest, see),
    ahead.length > 0 && {
      heading: 'Coming up',
      note: null,
      groups: seesAll ? byPlant(ahead, names, write) : [{ heading: null, lines: ahead.map(write) }],
      more: more(coming, ahead),
    },
    ...ofPeople(digest, siteUrl),
  ]
  return {
    subject: subjectOf(digest),
    lead: leadOf(digest, yours[0] ?? null, theirs),
    sections: sections.filter((section) => section !== false),
    foot: footOf({
      cause: `Week ${week}, as of ${words.time(asOf, person.zone)}.`,
      standsFor,
      asksToCut: [...yours, ...theirs, ...ahead].some((one) => one.words.asksToCut),
      siteUrl,
      stop: { text: 'Stop this weekly mail', url: stopUrl },
    }),
  }
}

function changedSection({ changed, person }: Digest, words: DateWords): Written {
  if (!changed) return false
  const { added, settledCount, since } = changed
  const parts = [
    ...(added.size > 0 ? [`${added.size} ${is(added.size)} new, and marked so`] : []),
    ...(settledCount > 0 ? [`${settledCount} named then ${is(settledCount)} overdue no more`] : []),
  ]
  return {
    heading: `Since the mail of ${words.day(since, person.zone)}`,
    note: `${parts.length > 0 ? parts.join('; ') : 'Nothing new, and nothing named then is settled'}.`,
    groups: [],
    more: null,
  }
}

/** What is not theirs to do now: what others are late with, and what is left aside, as counts. */
function waitingSection(
  { others, asideCount, seesAll }: Digest,
  see: (text: string) => { text: string; url: string },
): Written {
  const waiting = seesAll ? 0 : others.length
  const parts = [
    ...(waiting > 0
      ? [
          `${waiting} ${waiting === 1 ? 'thing' : 'things'} about your samples ${is(waiting)} overdue with others`,
        ]
      : []),
    ...(asideCount > 0
      ? [
          `${asideCount} ${asideCount === 1 ? 'thing' : 'things'} overdue ${is(asideCount)} left aside for a while`,
        ]
      : []),
  ]
  if (parts.length === 0) return false
  return {
    heading: waiting > 0 ? 'Not yours to do now' : 'Left aside',
    note: `${parts.join('; ')}.`,
    groups: [],
    more: see('See what is due'),
  }
}

function ofPeople({ quiet, badAddresses }: Digest, siteUrl: string): Written[] {
  return [
    quiet.length > 0 && {
      heading: 'With something overdue, and nothing done for two weeks',
      note: `${listed(quiet, MOST_NAMES)}.`,
      groups: [],
      more: null,
    },
    badAddresses.length > 0 && {
      heading: 'Their mail is refused: correct the address',
      note: badAddresses.length > MOST_NAMES ? `The first ${MOST_NAMES} of ${badAddresses.length}.` : null,
      groups: [
        {
          heading: null,
          lines: badAddresses.slice(0, MOST_NAMES).map(({ name, address, said }) => ({
            act: { text: `${name} <${address}>`, url: `${siteUrl}/setup/people` },
            why: said && `the mail server said “${said}”`,
            when: null,
            isOverdue: false,
          })),
        },
      ],
      more: null,
    },
  ]
}

function is(count: number): string {
  return count === 1 ? 'is' : 'are'
}

/** The subject: what of it is theirs, and for whoever sees all how much is overdue with others. */
function subjectOf({ toDo, others, seesAll, week }: Digest): string {
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
function leadOf(
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
