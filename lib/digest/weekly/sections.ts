import { getActorHeading, type Names } from '@/lib/judgement/dueText'
import type { Translate } from '@/lib/messages/translate'
import { isOverdue } from './digest'
import type { DigestItem, ItemText } from './item'

/** A section, or false where there is nothing to say. */
export type MaybeSection = ContentSection | false

export interface DescribedItem {
  item: DigestItem
  text: ItemText
}

/** Makes lines with absolute URLs; `added` has the keys of what is new. */
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
 * Items by plant, in the order of each plant's most urgent item, and within a plant by who has to act. Others than the plant
 * are named: "Ovrane Test House: Load 7KQ2-M94Y".
 */
export function groupByPlant(
  t: Translate,
  items: readonly DescribedItem[],
  names: Names,
  renderLine: (one: DescribedItem) => ContentLine,
): ContentSection['groups'] {
  const plants = new Map<string, Map<string | null, ContentLine[]>>()
  for (const one of items) {
    const { plant, actor } = one.item
    const isPlant = actor.by === 'plant' && actor.code === plant
    const name = isPlant ? null : getActorHeading(t, actor, names)
    const line = renderLine(one)
    const text = name === null ? line.act.text : t('mail.line.withActor', { actor: name, act: line.act.text })
    const byActor = plants.get(plant) ?? new Map<string | null, ContentLine[]>()
    byActor.set(name, [...(byActor.get(name) ?? []), { ...line, act: { ...line.act, text } }])
    plants.set(plant, byActor)
  }
  return [...plants].map(([plant, byActor]) => ({
    heading: names.places.get(plant) ?? plant,
    lines: [...byActor.values()].flat(),
  }))
}

/** The reader's own items: those that can still be saved under a heading of their own, if there are both kinds. */
export function groupByStake(
  t: Translate,
  items: readonly DescribedItem[],
  renderLine: (one: DescribedItem) => ContentLine,
): ContentSection['groups'] {
  const saved = items.filter(({ item }) => item.loss !== null).map(renderLine)
  const late = items.filter(({ item }) => item.loss === null).map(renderLine)
  if (saved.length === 0 || late.length === 0) return [{ heading: null, lines: [...saved, ...late] }]
  return [
    { heading: t('mail.own.saved'), lines: saved },
    { heading: t('mail.own.late'), lines: late },
  ]
}

/** The content of a mail, which is rendered as text and as HTML. */
export interface MailContent {
  subject: string
  /** Paragraphs, the most telling first. */
  intro: string[]
  sections: ContentSection[]
  /** Why the mail came, and how to stop it. */
  footer: { statement: string; caution: string | null; choose: Link; stop: Link }
}

export interface ContentSection {
  heading: string
  note: string | null
  /** Headed by the plant's name if they are of several plants. */
  groups: { heading: string | null; lines: ContentLine[] }[]
  /** How many more there are than lines, and where. */
  more: Link | null
  /** All of its lines are overdue, so that none has to be marked. */
  isOverdue?: boolean
}

/** One thing to do. `act` has no full stop; the rest are sentences. */
export interface ContentLine {
  act: Link
  why: string | null
  when: string | null
  isOverdue: boolean
  /** The last mail did not name it. */
  isNew?: boolean
  /** What can still be saved. */
  stake?: string | null
}

export interface Link {
  text: string
  url: string
}

interface FooterInput {
  /** What the mail is, and its time, as a sentence. */
  cause: string
  /** Names of those whom the reader stands in for, or shares a mailbox with. */
  alsoFor: readonly string[]
  asksToCut: boolean
  siteUrl: string
  stop: Link
}

/** The end of every mail. */
export function renderFooter(
  t: Translate,
  { cause, alsoFor, asksToCut, siteUrl, stop }: FooterInput,
): MailContent['footer'] {
  return {
    statement: [
      cause,
      ...(alsoFor.length > 0 ? [t('mail.footer.alsoFor', { names: t.list(alsoFor) })] : []),
      t('common.footer'),
    ].join(' '),
    caution: asksToCut ? t('act.cuttingCaution') : null,
    choose: { text: t('mail.footer.choose'), url: `${siteUrl}/me` },
    stop,
  }
}
