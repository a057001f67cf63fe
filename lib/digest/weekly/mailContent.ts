import { getActorName } from '@/lib/judgement/dueText'
import type { Translate } from '@/lib/messages/translate'
import { lowered } from '@/lib/schedule/firstLetter'
import { createDateFormat, type DateFormat } from './dateFormat'
import { type Digest, isOverdue } from './digest'
import type { DigestItem } from './item'
import { describeItem } from './itemText'
import { listSome } from './lineText'
import {
  createLineRenderer,
  type DescribedItem,
  groupByPlant,
  groupByStake,
  type MailContent,
  type MaybeSection,
  renderFooter,
} from './sections'

/** The most lines of a part: a mail is to be read, not searched. */
const MAX_OWN = 20
const MAX_OTHERS = 25
const MAX_UPCOMING = 10
const MAX_NAMES = 12

/** Puts a digest into words. Links lead to pages of `siteUrl`; `stopUrl` is where the mail is stopped. */
export function renderContent(t: Translate, digest: Digest, siteUrl: string, stopUrl: string): MailContent {
  const {
    person,
    toDo,
    others,
    upcoming: coming,
    week,
    asOf,
    alsoFor: standsFor,
    seesAll,
    names,
    zones,
  } = digest
  const words = createDateFormat(t, person.language, { zone: person.zone, asOf })
  const basis = { names, zones, dates: words, reader: digest.reader }
  const write = createLineRenderer(siteUrl, digest.changed?.added ?? new Set())
  const see = (text: string) => ({ text, url: `${siteUrl}/due` })
  const isElsewhere = ({ plant }: DigestItem) => plant !== person.plants[0]
  const namesPlant = seesAll || person.plants.length !== 1 || [...toDo, ...coming].some(isElsewhere)
  const inWords = (items: Digest['toDo'], isGrouped = false) =>
    items.map((item) => ({
      item,
      text: describeItem(t, item, { ...basis, showsPlant: !isGrouped && namesPlant }),
    }))
  const yours = inWords(toDo.slice(0, MAX_OWN))
  const theirs = inWords(seesAll ? others.slice(0, MAX_OTHERS) : [], true)
  const ahead = inWords(coming.slice(0, MAX_UPCOMING), seesAll)
  const more = (all: readonly unknown[], shown: readonly unknown[]) =>
    all.length > shown.length ? see(`And ${all.length - shown.length} more: see what is due`) : null
  const sections: MaybeSection[] = [
    yours.length > 0 && {
      heading: 'Yours to do',
      note: null,
      groups: groupByStake(t, yours, write),
      more: more(toDo, yours),
      isOverdue: toDo.every(isOverdue),
    },
    theirs.length > 0 && {
      heading: 'With plants and laboratories: overdue or at risk',
      note: null,
      groups: groupByPlant(t, theirs, names, write),
      more: more(others, theirs),
      isOverdue: others.every(isOverdue),
    },
    renderChanges(digest, words),
    renderWaiting(digest, see),
    ahead.length > 0 && {
      heading: 'Coming up',
      note: null,
      groups: seesAll ? groupByPlant(t, ahead, names, write) : [{ heading: null, lines: ahead.map(write) }],
      more: more(coming, ahead),
    },
    ...renderPeopleReport(t, digest, siteUrl),
  ]
  return {
    subject: renderSubject(digest),
    intro: renderIntro(t, digest, yours[0] ?? null, theirs),
    sections: sections.filter((section) => section !== false),
    footer: renderFooter(t, {
      cause: `Week ${week}, as of ${words.time(asOf, person.zone)}.`,
      alsoFor: standsFor,
      asksToCut: [...yours, ...theirs, ...ahead].some((one) => one.text.asksToCut),
      siteUrl,
      stop: { text: 'Stop this weekly mail', url: stopUrl },
    }),
  }
}

function renderChanges({ changed, person }: Digest, words: DateFormat): MaybeSection {
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
function renderWaiting(
  { others, setAsideCount: asideCount, seesAll }: Digest,
  see: (text: string) => { text: string; url: string },
): MaybeSection {
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

function renderPeopleReport(
  t: Translate,
  { inactive: quiet, badAddresses }: Digest,
  siteUrl: string,
): MaybeSection[] {
  return [
    quiet.length > 0 && {
      heading: 'With something overdue, and nothing done for two weeks',
      note: `${listSome(t, quiet, MAX_NAMES)}.`,
      groups: [],
      more: null,
    },
    badAddresses.length > 0 && {
      heading: 'Their mail is refused: correct the address',
      note: badAddresses.length > MAX_NAMES ? `The first ${MAX_NAMES} of ${badAddresses.length}.` : null,
      groups: [
        {
          heading: null,
          lines: badAddresses.slice(0, MAX_NAMES).map(({ name, address, said }) => ({
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
function renderSubject({ toDo, others, seesAll, week }: Digest): string {
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
const MAX_SOONER = 3

/**
 * What to do first, and by when; or that there is nothing. Then, a paragraph each, what others have to do (`theirs`, most
 * pressing first) that can still be saved and is lost sooner: an administrator has to see to it.
 */
function renderIntro(
  t: Translate,
  { toDo, others, seesAll, names }: Digest,
  first: DescribedItem | null,
  theirs: readonly DescribedItem[],
): string {
  const ownLossAt = first?.item.loss?.at ?? Number.POSITIVE_INFINITY
  const sooner = theirs.filter(({ item }) => item.loss !== null && item.loss.at < ownLossAt)
  const paragraphs = sooner.slice(0, MAX_SOONER).map(({ item, text: words }, index) => {
    const start = index === 0 ? 'Lost sooner, with others: ' : ''
    return `${start}${getActorName(t, item.actor, names)} has to ${lowered(words.act)}. ${words.stake ?? ''}`.trimEnd()
  })
  const more = sooner.length - MAX_SOONER
  return [
    first ? renderOwnIntro(toDo, first) : renderNothingToDo(others, seesAll),
    ...paragraphs,
    ...(more > 0 ? [`And ${more} more with others ${more === 1 ? 'is' : 'are'} lost sooner.`] : []),
  ].join('\n')
}

function renderOwnIntro(toDo: readonly DigestItem[], { item, text: words }: DescribedItem): string {
  const { act, why, when, stake } = words
  // While a sample can be lost, until when is all that counts.
  const because = item.loss?.kind === 'sample' ? null : (when ?? why)
  return [
    toDo.some(isOverdue) ? '' : 'Nothing of yours is overdue.',
    `First: ${lowered(act)}${because === null ? '' : `: ${because}`}.`,
    stake ?? '',
  ]
    .filter((part) => part !== '')
    .join(' ')
}

function renderNothingToDo({ length }: readonly DigestItem[], seesAll: boolean): string {
  if (length === 0) return 'Nothing is overdue, and nothing is yours to do.'
  if (!seesAll) return 'Nothing is yours to do.'
  return `Nothing is yours to do. ${length} ${length === 1 ? 'thing waits' : 'things wait'} for others.`
}
