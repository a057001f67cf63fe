import { dayText, localDay } from '@/lib/hold/zone'
import { toRoles } from '@/lib/policy/personRoles'
import { type Actor, CUTTING_CAUTION } from '@/lib/schedule/act'
import { capitalised } from '@/lib/schedule/firstLetter'
import { isOfTest } from '@/lib/schedule/overdue'
import { asksToCut, type Overdue } from '@/lib/schedule/overdueKinds'
import { type DueLine, dueLines, type Owed } from '@/lib/schedule/owed'
import { actorName, actWords, type Names, overdueWords, productName } from './dueWords'
import type { Part } from './hasToAct'
import { duePath, settlingPath } from './settlingPath'

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
  owed: readonly Owed[]
  pressing: readonly Overdue[]
  aside: readonly { overdue: Overdue }[]
}

/**
 * What is due and what is overdue for one plant, by day. What is overdue stands at today in the plant's `zone`, until
 * it is settled: a calendar shows nobody the days that are over. What is left aside is not told. `now` in ms UTC.
 */
export function feedEntries(
  { owed, pressing, aside, ...names }: FeedWork,
  plant: string,
  zone: string,
  now: number,
): FeedEntry[] {
  const today = localDay(now, zone)
  const late = [...pressing, ...aside.map((one) => one.overdue)]
  const overdue = pressing
    .filter((one) => one.plant === plant)
    .map((one) => overdueEntry(one, plant, today, names))
  const due = dueLines(owed, now)
    .filter((line) => line.owed.plant === plant)
    .map((line) =>
      dueEntry(
        line,
        late.some((one) => isOfTest(one, line.owed)),
        plant,
        names,
      ),
    )
  return [...overdue, ...due]
}

function overdueEntry(overdue: Overdue, plant: string, today: number, names: Names): FeedEntry {
  const { act, why } = overdueWords(overdue, names)
  const { actor, sinceAt, zone, subject, product, sample } = overdue
  return {
    key: `overdue/${subject}`,
    day: today,
    summary: `Overdue: ${whose(actor, plant, names)}${act}`,
    description: lines([
      `${act}: ${why}.`,
      `Overdue since ${dayText(localDay(sinceAt, zone))} (${zone}).`,
      sample !== null && product !== null && `Product: ${productName(product, names)}.`,
      `To be done by ${actorName(actor, names)}.`,
      asksToCut(overdue.kind) && CUTTING_CAUTION,
    ]),
    path: settlingPath(overdue, atPlant(plant)),
  }
}

function dueEntry(line: DueLine, isHeldUp: boolean, plant: string, names: Names): FeedEntry {
  const { owed, acts, actor, dueDay, zone } = line
  const act = actWords(acts, owed, names)
  return {
    // The last of them is there whether or not the others are done already.
    key: `due/${owed.duty}/${owed.number}/${acts.at(-1)}`,
    day: dueDay,
    summary: `${whose(actor, plant, names)}${act}`,
    description: lines([
      `${act}, at the latest on ${dayText(dueDay)} (${zone}).`,
      owed.kit !== null && `Product: ${productName(owed.product, names)}.`,
      `To be done by ${actorName(actor, names)}.`,
      isHeldUp && 'What comes before it is overdue.',
      `The report is due on ${dayText(owed.dueDay)}.`,
      acts.includes('cut') && CUTTING_CAUTION,
    ]),
    path: duePath(line, atPlant(plant)),
  }
}

/** Whoever reads a plant's calendar is at the plant. */
function atPlant(plant: string): Part {
  return toRoles([{ role: 'plant contact', place: plant }])
}

/** Whoever reads a plant's calendar is at the plant: only others are named. */
function whose(actor: Actor, plant: string, names: Names): string {
  if (actor.by === 'plant' && actor.code === plant) return ''
  return `${capitalised(actorName(actor, names))}: `
}

function lines(texts: readonly (string | false)[]): string {
  return texts.filter((text) => text !== false).join('\n')
}
