import { type DateWords, dateWords } from './dateWords'
import { type Digest, isOverdue } from './digest'
import { footOf } from './footOf'
import type { DigestItem } from './item'
import { itemWords } from './itemWords'
import { leadOf, subjectOf } from './leadWords'
import { listed } from './listed'
import { byPlant, byStake, lineWriter, type Outline, type Written } from './sections'

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
