import { getActorHeading } from '@/lib/judgement/dueText'
import type { Translate } from '@/lib/messages/translate'
import { renderBackup } from './backupSection'
import { createDateFormat, type DateFormat } from './dateFormat'
import { type Digest, isOverdue } from './digest'
import type { DigestItem } from './item'
import { describeItem } from './itemText'
import { renderKeys } from './keysSection'
import { listSome } from './lineText'
import {
  createLineRenderer,
  type DescribedItem,
  groupByPlant,
  groupByStake,
  type Link,
  type MailContent,
  type MaybeSection,
  renderFooter,
} from './sections'

/** Most lines of a section: a mail is to be read, not searched. */
const MAX_OWN = 40
const MAX_OTHERS = 40
const MAX_UPCOMING = 10
const MAX_NAMES = 12

/** Renders the content of a weekly mail. Links lead to pages of `siteUrl`; `stopUrl` stops the mail. */
export function renderContent(t: Translate, digest: Digest, siteUrl: string, stopUrl: string): MailContent {
  const { person, toDo, others, upcoming, week, asOf, alsoFor, seesAll, names, zones } = digest
  const dates = createDateFormat(t, person.language, { zone: person.zone, asOf })
  const context = { names, zones, dates, reader: digest.reader }
  const renderLine = createLineRenderer(siteUrl, digest.changed?.added ?? new Set())
  const linkToDue = (text: string): Link => ({ text, url: `${siteUrl}/due` })
  const isElsewhere = ({ plant }: DigestItem) => plant !== person.plants[0]
  const hasSeveralPlants = seesAll || person.plants.length !== 1 || [...toDo, ...upcoming].some(isElsewhere)
  const describe = (items: readonly DigestItem[], isGrouped = false): DescribedItem[] =>
    items.map((item) => ({
      item,
      text: describeItem(t, item, { ...context, showsPlant: !isGrouped && hasSeveralPlants }),
    }))
  const ownItems = describe(toDo.slice(0, MAX_OWN))
  const otherItems = describe(seesAll ? others.slice(0, MAX_OTHERS) : [], true)
  const upcomingItems = describe(upcoming.slice(0, MAX_UPCOMING), seesAll)
  const more = (all: readonly unknown[], shown: readonly unknown[]) =>
    all.length > shown.length ? linkToDue(t('mail.more', { count: all.length - shown.length })) : null
  const sections: MaybeSection[] = [
    ownItems.length > 0 && {
      heading: t('mail.own.heading'),
      note: null,
      groups: groupByStake(t, ownItems, renderLine),
      more: more(toDo, ownItems),
      isOverdue: toDo.every(isOverdue),
    },
    otherItems.length > 0 && {
      heading: t('mail.others.heading'),
      note: null,
      groups: groupByPlant(t, otherItems, names, renderLine),
      more: more(others, otherItems),
      isOverdue: others.every(isOverdue),
    },
    renderChanges(t, digest, dates),
    renderWaiting(t, digest, linkToDue),
    upcomingItems.length > 0 && {
      heading: t('mail.upcoming.heading'),
      note: null,
      groups: seesAll
        ? groupByPlant(t, upcomingItems, names, renderLine)
        : [{ heading: null, lines: upcomingItems.map(renderLine) }],
      more: more(upcoming, upcomingItems),
    },
    ...renderPeopleReport(t, digest, siteUrl),
    renderBackup(t, digest, dates),
    renderKeys(t, digest, siteUrl, MAX_NAMES),
  ]
  return {
    subject: renderSubject(t, digest),
    intro: renderIntro(t, digest, ownItems[0] ?? null, otherItems),
    sections: sections.filter((section) => section !== false),
    footer: renderFooter(t, {
      cause: t('mail.footer.asOf', { week, time: dates.time(asOf, person.zone) }),
      alsoFor,
      asksToCut: [...ownItems, ...otherItems, ...upcomingItems].some(({ text }) => text.asksToCut),
      siteUrl,
      stop: { text: t('mail.footer.stop'), url: stopUrl },
    }),
  }
}

function renderChanges(t: Translate, { changed, person }: Digest, dates: DateFormat): MaybeSection {
  if (!changed) return false
  const { added, settledCount, since } = changed
  const sentences = [
    ...(added.size > 0 ? [t('mail.changes.new', { count: added.size })] : []),
    ...(settledCount > 0 ? [t('mail.changes.settled', { count: settledCount })] : []),
  ]
  return {
    heading: t('mail.changes.heading', { day: dates.day(since, person.zone) }),
    note: sentences.length > 0 ? sentences.join(' ') : t('mail.changes.none'),
    groups: [],
    more: null,
  }
}

/** Counts of what is not the reader's to do now: overdue with others, and set aside. */
function renderWaiting(
  t: Translate,
  { others, setAsideCount, seesAll }: Digest,
  linkToDue: (text: string) => Link,
): MaybeSection {
  const waitingCount = seesAll ? 0 : others.length
  const sentences = [
    ...(waitingCount > 0 ? [t('mail.waiting.others', { count: waitingCount })] : []),
    ...(setAsideCount > 0 ? [t('mail.setAside.count', { count: setAsideCount })] : []),
  ]
  if (sentences.length === 0) return false
  return {
    heading: t(waitingCount > 0 ? 'mail.waiting.heading' : 'mail.setAside.heading'),
    note: sentences.join(' '),
    groups: [],
    more: linkToDue(t('mail.see')),
  }
}

function renderPeopleReport(
  t: Translate,
  { inactive, badAddresses }: Digest,
  siteUrl: string,
): MaybeSection[] {
  return [
    inactive.length > 0 && {
      heading: t('mail.inactive.heading'),
      note: t('mail.names', { names: listSome(t, inactive.map(describePerson), MAX_NAMES) }),
      groups: [],
      more: null,
    },
    badAddresses.length > 0 && {
      heading: t('mail.rejected.heading'),
      note:
        badAddresses.length > MAX_NAMES
          ? t('mail.rejected.first', { shown: MAX_NAMES, count: badAddresses.length })
          : null,
      groups: [
        {
          heading: null,
          lines: badAddresses.slice(0, MAX_NAMES).map(({ name, address, said }) => ({
            act: { text: t('mail.rejected.person', { name, address }), url: `${siteUrl}/setup/people` },
            why: said && t('mail.rejected.said', { said }),
            when: null,
            isOverdue: false,
          })),
        },
      ],
      more: null,
    },
  ]
  function describePerson({ name, places }: Digest['inactive'][number]): string {
    return t('mail.inactive.person', { name, places: places.join('; ') })
  }
}

/** Counts of what is the reader's to do, and for those who see every sample of what is overdue with others. */
function renderSubject(t: Translate, { toDo, others, seesAll, week }: Digest): string {
  const overdueCount = toDo.filter(isOverdue).length
  const moreCount = toDo.length - overdueCount
  const othersCount = others.filter(isOverdue).length
  const parts = [
    ...(overdueCount > 0 ? [t('mail.subject.overdue', { count: overdueCount })] : []),
    ...(moreCount > 0
      ? [t(overdueCount > 0 ? 'mail.subject.more' : 'mail.subject.toDo', { count: moreCount })]
      : []),
    ...(seesAll && othersCount > 0 ? [t('mail.subject.others', { count: othersCount })] : []),
  ]
  const summary = parts.length > 0 ? t.list(parts) : t('mail.subject.nothing')
  return t('mail.subject', { week, summary })
}

/** Most things of others that the intro names. */
const MAX_SOONER = 3

/**
 * What to do first, and by when; or that there is nothing. Then, a paragraph each, what others have to do (`otherItems`,
 * most urgent first) that can still be saved and is lost sooner: an administrator has to see to it.
 */
function renderIntro(
  t: Translate,
  { toDo, others, seesAll, names }: Digest,
  first: DescribedItem | null,
  otherItems: readonly DescribedItem[],
): string[] {
  const ownLossAt = first?.item.loss?.at ?? Number.POSITIVE_INFINITY
  const sooner = otherItems.filter(({ item }) => item.loss !== null && item.loss.at < ownLossAt)
  const moreCount = sooner.length - MAX_SOONER
  return [
    first ? renderOwnIntro(t, toDo, first) : renderNothingToDo(t, others, seesAll),
    ...(sooner.length > 0 ? [t('mail.intro.urgentOthers')] : []),
    ...sooner.slice(0, MAX_SOONER).map(({ item, text }) => {
      const sentence = t('mail.intro.urgentOther', {
        actor: getActorHeading(t, item.actor, names),
        act: text.act,
      })
      return text.stake === null ? sentence : `${sentence} ${text.stake}`
    }),
    ...(moreCount > 0 ? [t('mail.intro.moreUrgent', { count: moreCount })] : []),
  ]
}

function renderOwnIntro(t: Translate, toDo: readonly DigestItem[], { item, text }: DescribedItem): string {
  const { act, why, when, stake } = text
  // While a sample can be lost, its deadline is all that counts.
  const reason = item.loss?.kind === 'sample' ? null : (when ?? why)
  return [
    toDo.some(isOverdue) ? null : t('mail.intro.notOverdue'),
    t('mail.intro.first', { act }),
    reason,
    stake,
  ]
    .filter((sentence) => sentence !== null)
    .join(' ')
}

function renderNothingToDo(t: Translate, { length }: readonly DigestItem[], seesAll: boolean): string {
  if (length === 0) return t('mail.intro.nothing')
  if (!seesAll) return t('mail.intro.nothingYours')
  return `${t('mail.intro.nothingYours')} ${t('mail.intro.waiting', { count: length })}`
}
