import { type DateWords, dateWords } from './dateWords'
import type { Digest } from './digest'
import type { DigestItem } from './item'

/** A digest in words, of which text and HTML are two ways to write it. */
export interface Outline {
  subject: string
  /** What it comes to, in a sentence or two. */
  lead: string
  sections: OutlineSection[]
  /** How it came to be sent, and how to stop it. */
  foot: { standing: string; choose: Link; stop: Link }
}

export interface OutlineSection {
  heading: string
  note: string | null
  /** With a plant's name above, where they are of several. */
  groups: { heading: string | null; lines: OutlineLine[] }[]
  /** How many more there are than lines, and where. */
  more: Link | null
}

export interface OutlineLine {
  act: Link
  why: string
  when: string | null
  isOverdue: boolean
}

export interface Link {
  text: string
  url: string
}

/** The most lines of a part: a mail is to be read, not searched. */
const MOST_TO_DO = 40
const MOST_OTHERS = 12

/** Puts a digest into words. Links lead to pages of `siteUrl`; `stopUrl` is where the mail is stopped. */
export function outlineOf(digest: Digest, siteUrl: string, stopUrl: string): Outline {
  const { person, toDo, changed, coming, quiet, week, asOf, standsFor } = digest
  const words = dateWords(person.language)
  const overdue = toDo.filter(({ isOverdue }) => isOverdue).length
  const write = writer(words, siteUrl, person.isAdministrator || person.plants.length > 1)
  const sections = [
    write(person.isAdministrator ? 'To do, by plant' : 'Yours to do', toDo, MOST_TO_DO),
    changed &&
      write(
        `New since ${words.day(changed.since, person.zone)}`,
        changed.added,
        MOST_OTHERS,
        changed.doneCount > 0
          ? `${counted(changed.doneCount, 'thing')} named then ${changed.doneCount === 1 ? 'is' : 'are'} done.`
          : null,
      ),
    write('Coming', coming, MOST_OTHERS),
    quiet.length > 0 && {
      heading: 'Overdue, and nothing done for two weeks',
      note: quiet.join(', '),
      groups: [],
      more: null,
    },
  ].filter((section) => section !== null && section !== false)
  return {
    subject: subjectOf(toDo, overdue, week),
    lead: leadOf(toDo, overdue, words),
    sections,
    foot: {
      standing: [
        `Week ${week}, as of ${words.time(asOf, person.zone)}.`,
        ...(standsFor.length > 0 ? [`It is also for ${standsFor.join(', ')}.`] : []),
      ].join(' '),
      choose: { text: 'Choose what is sent to you', url: `${siteUrl}/me` },
      stop: { text: 'Stop this weekly mail', url: stopUrl },
    },
  }
}

function subjectOf(toDo: readonly DigestItem[], overdue: number, week: string): string {
  const what =
    overdue > 0
      ? `${overdue} overdue, ${toDo.length} to do`
      : toDo.length > 0
        ? `${toDo.length} to do, nothing overdue`
        : 'nothing to do'
  return `Holdfast ${week}: ${what}`
}

function leadOf([first]: readonly DigestItem[], overdue: number, words: DateWords): string {
  if (!first) return 'Nothing is overdue, and nothing is yours to do.'
  const when =
    first.dueAt === null
      ? ''
      : `, ${first.isOverdue ? 'due since' : 'due'} ${words.day(first.dueAt, first.dueZone)}`
  return `${overdue === 0 ? 'Nothing is overdue. ' : ''}First: ${lowered(first.act)}${when}.`
}

type Written = OutlineSection | null

function writer(words: DateWords, siteUrl: string, isByPlant: boolean) {
  return (
    heading: string,
    items: readonly DigestItem[],
    most: number,
    note: string | null = null,
  ): Written => {
    if (items.length === 0 && note === null) return null
    const shown = items.slice(0, most)
    const line = ({ act, why, path, dueAt, dueZone, isOverdue }: DigestItem): OutlineLine => ({
      act: { text: act, url: `${siteUrl}${path}` },
      why,
      when: dueAt === null ? null : `${isOverdue ? 'due since' : 'due'} ${words.time(dueAt, dueZone)}`,
      isOverdue,
    })
    // A plant stands where its most pressing item does.
    const plants = [...new Set(shown.map(({ plant }) => plant))]
    const groups = isByPlant
      ? plants.map((code) => {
          const own = shown.filter(({ plant }) => plant === code)
          return { heading: own[0]?.plantName ?? code, lines: own.map(line) }
        })
      : [{ heading: null, lines: shown.map(line) }]
    const rest = items.length - shown.length
    return {
      heading,
      note,
      groups: shown.length > 0 ? groups : [],
      more: rest > 0 ? { text: `And ${rest} more on the board`, url: `${siteUrl}/` } : null,
    }
  }
}

function lowered(sentence: string): string {
  return sentence.charAt(0).toLowerCase() + sentence.slice(1)
}

function counted(count: number, noun: string): string {
  return `${count} ${noun}${count === 1 ? '' : 's'}`
}
