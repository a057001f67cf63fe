import { formatIsoDate, toLocalDay } from '@/lib/hold/zone'
import type { Translate } from '@/lib/messages/translate'
import { toRoles } from '@/lib/policy/personRoles'
import { type Actor, CUTTING_CAUTION } from '@/lib/schedule/act'
import { capitalised } from '@/lib/schedule/firstLetter'
import { isForTest } from '@/lib/schedule/overdue'
import { asksToCut, type Overdue } from '@/lib/schedule/overdueKinds'
import { type DueLine, listDueLines, type OwedTest } from '@/lib/schedule/owedTests'
import { describeActs, describeOverdue, getActorName, getProductName, type Names } from './dueText'
import { duePath, resolutionPath } from './resolutionPath'
import type { ActingRoles } from './responsibility'

/** One day's entry in the calendar of a plant. */
export interface FeedEntry {
  /** The same for the same thing whenever it is asked. */
  key: string
  /** Local day, as a day number: where it is to be done, or for what is overdue today at the plant. */
  day: number
  summary: string
  /** Lines of plain text. */
  description: string
  /** The path of the page that settles it. */
  path: string
}

/** What is known of the work that a plant's calendar tells of. */
export interface FeedWork extends Names {
  owed: readonly OwedTest[]
  overdue: readonly Overdue[]
  setAside: readonly { overdue: Overdue }[]
}

/**
 * What is due and what is overdue for one plant, by day. What is overdue stands at today in the plant's `zone`, until
 * it is settled: a calendar shows nobody the days that are over. What is left aside is not told. `now` in ms UTC.
 */
export function buildFeedEntries(
  t: Translate,
  { owed, overdue: pressing, setAside: aside, ...names }: FeedWork,
  plant: string,
  zone: string,
  now: number,
): FeedEntry[] {
  const today = toLocalDay(now, zone)
  const late = [...pressing, ...aside.map((one) => one.overdue)]
  const overdue = pressing
    .filter((one) => one.plant === plant)
    .map((one) => toOverdueEntry(t, one, plant, today, names))
  const due = listDueLines(owed, now)
    .filter((line) => line.owed.plant === plant)
    .map((line) =>
      toDueEntry(
        t,
        line,
        late.some((one) => isForTest(one, line.owed)),
        plant,
        names,
      ),
    )
  return [...overdue, ...due]
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
    summary: `Overdue: ${formatActorPrefix(t, actor, plant, names)}${act}`,
    description: joinLines([
      `${act}: ${why}.`,
      `Overdue since ${formatIsoDate(toLocalDay(sinceAt, zone))} (${zone}).`,
      sample !== null && product !== null && `Product: ${getProductName(t, product, names)}.`,
      `To be done by ${getActorName(t, actor, names)}.`,
      asksToCut(overdue.kind) && CUTTING_CAUTION,
    ]),
    path: resolutionPath(overdue, getPlantRoles(plant)),
  }
}

function toDueEntry(t: Translate, line: DueLine, isHeldUp: boolean, plant: string, names: Names): FeedEntry {
  const { owed, acts, actor, dueDay, zone } = line
  const act = describeActs(t, acts, owed, names)
  return {
    // The last of them is there whether or not the others are done already.
    key: `due/${owed.duty}/${owed.number}/${acts.at(-1)}`,
    day: dueDay,
    summary: `${formatActorPrefix(t, actor, plant, names)}${act}`,
    description: joinLines([
      `${act}, at the latest on ${formatIsoDate(dueDay)} (${zone}).`,
      owed.kit !== null && `Product: ${getProductName(t, owed.product, names)}.`,
      `To be done by ${getActorName(t, actor, names)}.`,
      isHeldUp && 'What comes before it is overdue.',
      `The report is due on ${formatIsoDate(owed.dueDay)}.`,
      acts.includes('cut') && CUTTING_CAUTION,
    ]),
    path: duePath(line, getPlantRoles(plant)),
  }
}

/** Whoever reads a plant's calendar is at the plant. */
function getPlantRoles(plant: string): ActingRoles {
  return toRoles([{ role: 'plant contact', place: plant }])
}

/** Whoever reads a plant's calendar is at the plant: only others are named. */
function formatActorPrefix(t: Translate, actor: Actor, plant: string, names: Names): string {
  if (actor.by === 'plant' && actor.code === plant) return ''
  return `${capitalised(getActorName(t, actor, names))}: `
}

function joinLines(texts: readonly (string | false)[]): string {
  return texts.filter((text) => text !== false).join('\n')
}
