import { formatIsoDate, toLocalDay } from '@/lib/hold/zone'
import { isForTest } from '@/lib/judgement/overdue'
import type { Overdue } from '@/lib/judgement/overdueKinds'
import type { Translate } from '@/lib/messages/translate'
import { toRoles } from '@/lib/policy/personRoles'
import type { Actor } from '@/lib/schedule/act'
import { type DueLine, listDueLines, type OwedTest } from '@/lib/schedule/owedTests'
import { isCutting, SAMPLE_ACTS } from './acts'
import { nameAct } from './actText'
import {
  describeActs,
  describeOverdue,
  formatKitCode,
  getActorHeading,
  getActorName,
  getProductName,
  type Names,
} from './dueText'
import type { Judgement } from './judge'
import type { JudgedSubject } from './judgeAll'
import type { NextAct } from './nextAct'
import { actPath, duePath, resolutionPath } from './resolutionPath'
import type { ActingRoles } from './responsibility'
import { describeRestraint } from './restraintText'
import { asksFor } from './testActs'

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
  judged: readonly JudgedSubject[]
  /** Zones of plants and laboratories, by code. */
  zones: ReadonlyMap<string, string>
}

/**
 * What is due and what is overdue for one plant, by day: by the plans of its tests, and by the judgements of its samples. What is
 * overdue moves along with today in the plant's `zone`, since calendars do not show days that are over. What is set aside is left
 * out. `now` in ms UTC.
 */
export function buildFeedEntries(
  t: Translate,
  { owed, overdue, setAside, judged, zones, ...names }: FeedWork,
  plant: string,
  zone: string,
  now: number,
): FeedEntry[] {
  const today = toLocalDay(now, zone)
  const own = judged.filter((one) => one.plant === plant)
  const judgements = new Map(own.map(({ sample, judgement }) => [sample, judgement]))
  const lines = listDueLines(owed, now).filter((line) => line.owed.plant === plant)
  const late = [...overdue, ...setAside.map((one) => one.overdue)]
  return [
    ...overdue
      .filter((one) => one.plant === plant)
      .map((one) => toOverdueEntry(t, one, judgements.get(one.sample ?? ''), plant, today, names)),
    ...lines.map((line) => {
      const isBlocked = late.some((one) => isForTest(one, line.owed))
      return toDueEntry(t, line, isBlocked, plant, names)
    }),
    ...own.flatMap((one) =>
      one.judgement.acts
        .filter((act) => isShown(one, act, plant) && !lines.some((line) => asksFor(line, one.sample, act)))
        .map((act) => {
          const place = act.actor.by === 'programme' ? plant : act.actor.code
          const byDay = act.byAt === null ? null : toLocalDay(act.byAt, zones.get(place) ?? zone)
          return toActEntry(t, one, act, { byDay, today, plant, names })
        }),
    ),
  ]
}

/** Whether an act is due and has an entry: the plant's own, and whatever is to be done meanwhile with a sample that is not fit. */
function isShown({ judgement }: JudgedSubject, { overdue, actor, act, isUrgent }: NextAct, plant: string) {
  if (overdue !== null) return false
  if (isAtPlant(actor, plant)) return true
  return judgement.fitness !== 'fit' && (isUrgent || SAMPLE_ACTS[act].record === null)
}

/** What is recorded stands on the last day for it, anything else on today. */
function toActEntry(
  t: Translate,
  judged: JudgedSubject,
  next: NextAct,
  { byDay, today, plant, names }: { byDay: number | null; today: number; plant: string; names: Names },
): FeedEntry {
  const { record } = SAMPLE_ACTS[next.act]
  const act = nameAct(t, 'text', next, formatKitCode(judged.sample))
  return {
    key: ['act', judged.sample, next.act, ...(next.milestone === null ? [] : [next.milestone])].join('/'),
    day: record === null || byDay === null ? today : Math.max(today, byDay),
    summary: isAtPlant(next.actor, plant)
      ? act
      : t('feed.withOther', { actor: getActorHeading(t, next.actor, names), act }),
    description: joinLines([
      t('feed.actAndReason', { act, why: t.message(next.why) }),
      describeRestraint(t, judged.judgement, next.actor) ?? false,
      byDay !== null && t('feed.by', { day: formatIsoDate(byDay) }),
      judged.product !== null && t('feed.product', { product: getProductName(t, judged.product, names) }),
      t('feed.responsible', { actor: getActorName(t, next.actor, names) }),
      isCutting(next.act) && t('act.cuttingCaution'),
    ]),
    path: actPath(next, judged, getPlantRoles(plant)),
  }
}

function toOverdueEntry(
  t: Translate,
  overdue: Overdue,
  judgement: Judgement | undefined,
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
      (judgement && describeRestraint(t, judgement, actor)) ?? false,
      t('feed.overdueSince', { day: formatIsoDate(toLocalDay(sinceAt, zone)), zone }),
      sample !== null &&
        product !== null &&
        t('feed.product', { product: getProductName(t, product, names) }),
      t('feed.responsible', { actor: getActorName(t, actor, names) }),
      isCutting(overdue.act) && t('act.cuttingCaution'),
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
