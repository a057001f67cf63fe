import { getActorName, type Names } from '@/lib/judgement/dueText'
import type { Translate } from '@/lib/messages/translate'
import { CUTTING_CAUTION } from '@/lib/schedule/act'
import { capitalised, lowered } from '@/lib/schedule/firstLetter'
import { isOverdue } from './digest'
import type { DigestItem, ItemText } from './item'

/** A section, or false where there is nothing to say. */
export type MaybeSection = ContentSection | false

export interface DescribedItem {
  item: DigestItem
  text: ItemText
}

/** Makes lines with whole addresses; `added` has the keys of what is new. */
export function createLineRenderer(siteUrl: string, added: ReadonlySet<string>) {
  return ({ item, text: { act, path, why, when, stake } }: DescribedItem): ContentLine => ({
    act: { text: act, url: siteUrl + path },
    why,
    when,
    stake,
    isOverdue: isOverdue(item),
    isNew: added.has(item.key),
  })
}

/**
 * Items under their plant, which stands where its most pressing item does. Within it they stand by who has to act, who is
 * named where it is not the plant: "Ovrane Test House: load 7KQ2-M94Y".
 */
export function groupByPlant(
  t: Translate,
  items: readonly DescribedItem[],
  names: Names,
  write: (one: DescribedItem) => ContentLine,
): ContentSection['groups'] {
  const plants = new Map<string, Map<string, ContentLine[]>>()
  for (const one of items) {
    const { plant, actor } = one.item
    const isPlant = actor.by === 'plant' && actor.code === plant
    const who = isPlant ? '' : `${capitalised(getActorName(t, actor, names))}: `
    const line = write(one)
    const text = isPlant ? line.act.text : who + lowered(line.act.text)
    const acting = plants.get(plant) ?? new Map<string, ContentLine[]>()
    acting.set(who, [...(acting.get(who) ?? []), { ...line, act: { ...line.act, text } }])
    plants.set(plant, acting)
  }
  return [...plants].map(([plant, acting]) => ({
    heading: names.places.get(plant) ?? plant,
    lines: [...acting.values()].flat(),
  }))
}

/** Items that are one's own, those that can still be saved apart where there are both. */
export function groupByStake(
  t: Translate,
  items: readonly DescribedItem[],
  write: (one: DescribedItem) => ContentLine,
): ContentSection['groups'] {
  const saved = items.filter(({ item }) => item.loss !== null).map(write)
  const late = items.filter(({ item }) => item.loss === null).map(write)
  if (saved.length === 0 || late.length === 0) return [{ heading: null, lines: [...saved, ...late] }]
  return [
    { heading: 'Can still be saved: the soonest lost first', lines: saved },
    { heading: 'Late: the longest first', lines: late },
  ]
}

/** A digest in words, of which text and HTML are two ways to write it. */
export interface MailContent {
  subject: string
  /** What it comes to, in a sentence or two; the most telling paragraph first. */
  intro: string
  sections: ContentSection[]
  /** How it came to be sent, and how to stop it. */
  footer: { standing: string; caution: string | null; choose: Link; stop: Link }
}

export interface ContentSection {
  heading: string
  note: string | null
  /** With a plant's name above, where they are of several. */
  groups: { heading: string | null; lines: ContentLine[] }[]
  /** How many more there are than lines, and where. */
  more: Link | null
  /** All of its lines are overdue, so that none has to say so. */
  isOverdue?: boolean
}

/** One thing: what is to be done, why, and by when. */
export interface ContentLine {
  act: Link
  why: string | null
  when: string | null
  isOverdue: boolean
  /** The last mail did not name it. */
  isNew?: boolean
  /** What can still be saved, as a sentence. */
  stake?: string | null
}

export interface Link {
  text: string
  url: string
}

interface FooterInput {
  /** Why it came, and as of when, as a sentence. */
  cause: string
  /** Names of whom the reader stands in for, or shares a mailbox with. */
  alsoFor: readonly string[]
  asksToCut: boolean
  siteUrl: string
  stop: Link
}

/** What stands at the end of every mail. */
export function renderFooter(
  t: Translate,
  { cause, alsoFor: standsFor, asksToCut, siteUrl, stop }: FooterInput,
): MailContent['footer'] {
  return {
    standing: [
      cause,
      ...(standsFor.length > 0 ? [`It is also for ${standsFor.join(', ')}.`] : []),
      'Holdfast informs; the laboratory and the programme decide.',
    ].join(' '),
    caution: asksToCut ? CUTTING_CAUTION : null,
    choose: { text: 'Choose what is sent to you', url: `${siteUrl}/me` },
    stop,
  }
}
