import { formatIsoDate, toLocalDay } from '@/lib/hold/zone'
import { isForTest } from '@/lib/judgement/overdue'
import { asksToCut, type Overdue } from '@/lib/judgement/overdueKinds'
import type { Translate } from '@/lib/messages/translate'
import { toRoles } from '@/lib/policy/personRoles'
import type { Actor } from '@/lib/schedule/act'
import { type DueLine, listDueLines, type OwedTest } from '@/lib/schedule/owedTests'
import {
  describeActs,
  describeOverdue,
  getActorHeading,
  getActorName,
  getProductName,
  type Names,
} from './dueText'
import { duePath, resolutionPath } from './resolutionPath'
import type { ActingRoles } from './responsibility'

/** One day's entry in the calendar of a plant. */
export interface FeedEntry {
  /** Stable: the same thing has the same key at every request. */
  key: string
  /** Day number: the local day at the place of the act; today at the plant for what is overdue. */
  day: number
  summary: string
  /** Lines of plain text. */
  description: string
  /** The path of the page that settles it. */
  path: string
}

/** The work that a plant's calendar shows. */
export interface FeedWork extends Names {
  owed: readonly OwedTest[]
  overdue: readonly Overdue[]
  setAside: readonly { overdue: Overdue }[]
}

/**
 * What is due and what is overdue for one plant, by day. What is overdue moves along with today in the plant's `zone`,
 * since calendars do not show days that are over. What is set aside is left out. `now` in ms UTC.
 */
export function buildFeedEntries(
  t: Translate,
  { owed, overdue, setAside, ...names }: FeedWork,
  plant: string,
  zone: string,
  now: number,
): FeedEntry[] {
  const today = toLocalDay(now, zone)
  const late = [...overdue, ...setAside.map((one) => one.overdue)]
  return [
    ...overdue.filter((one) => one.plant === plant).map((one) => toOverdueEntry(t, one, plant, today, names)),
    ...listDueLines(owed, now)
      .filter((line) => line.owed.plant === plant)
      .map((line) => {
        const isBlocked = late.some((one) => isForTest(one, line.owed))
        return toDueEntry(t, line, isBlocked, plant, names)
      }),
  ]
}

function toOverdueEntry(
  t: Translate,
  overdue: Overdue,
  plant: string,
  today: number,
  names: Names,
): FeedEntry {
  const { act, why } = describeOverdue(t, overdue, names)
  const { actor, sinceAt, zone, subject, product, sample } = overdue
  return {
    key: `overdue/${subject}`,
    day: today,
    summary: isAtPlant(actor, plant)
      ? t('feed.overdue', { act })
      : t('feed.overdueWithOther', { actor: getActorName(t, actor, names), act }),
    description: joinLines([
      t('feed.actAndReason', { act, why }),
      t('feed.overdueSince', { day: formatIsoDate(toLocalDay(sinceAt, zone)), zone }),
      sample !== null &&
        product !== null &&
        t('feed.product', { product: getProductName(t, product, names) }),
      t('feed.responsible', { actor: getActorName(t, actor, names) }),
      asksToCut(overdue.kind) && t('act.cuttingCaution'),
    ]),
    path: resolutionPath(overdue, getPlantRoles(plant)),
  }
}

function toDueEntry(t: Translate, line: DueLine, isBlocked: boolean, plant: string, names: Names): FeedEntry {
  const { owed, acts, actor, dueDay, zone } = line
  const act = describeActs(t, acts, owed, names)
  return {
    // The last act stays in the line however many before it are done, so the key stays too.
    key: `due/${owed.duty}/${owed.number}/${acts.at(-1)}`,
    day: dueDay,
    summary: isAtPlant(actor, plant)
      ? act
      : t('feed.withOther', { actor: getActorHeading(t, actor, names), act }),
    description: joinLines([
      t('feed.actBy', { act, day: formatIsoDate(dueDay), zone }),
      owed.kit !== null && t('feed.product', { product: getProductName(t, owed.product, names) }),
      t('feed.responsible', { actor: getActorName(t, actor, names) }),
      isBlocked && t('feed.blocked'),
      t('feed.reportDue', { day: formatIsoDate(owed.dueDay) }),
      acts.includes('cut') && t('act.cuttingCaution'),
    ]),
    path: duePath(line, getPlantRoles(plant)),
  }
}

/** Readers of a plant's calendar act for that plant. */
function getPlantRoles(plant: string): ActingRoles {
  return toRoles([{ role: 'plant contact', place: plant }])
}

/** Whether the reader of a plant's calendar has to act: only others are named. */
function isAtPlant(actor: Actor, plant: string): boolean {
  return actor.by === 'plant' && actor.code === plant
}

function joinLines(lines: readonly (string | false)[]): string {
  return lines.filter((line) => line !== false).join('\n')
}
