import { DAY, toCivilDate, toLocalDay } from '@/lib/hold/zone'
import type { MessageKey } from '@/lib/messages/message'
import type { Translate } from '@/lib/messages/translate'
import type { LanePage } from '@/lib/store/read/lanes/lanePage'

type Figures = LanePage['figures']
type Change = NonNullable<Figures['pace']['change']>
type RunRule = Figures['slowBreaks'][number]

/** Open days after the day of hand-over: "the same day", "1 open day", "3 open days". */
export function formatSteps(t: Translate, steps: number): string {
  return t('lanes.steps', { steps })
}

/** The same in a cell of a table, where a share may never be reached. */
export function formatStepCell(t: Translate, steps: number | null | undefined): string {
  return steps === null || steps === undefined ? t('turnaround.notReached') : formatSteps(t, steps)
}

/** The median and the 90th percentile of a transit curve, as a sentence. */
export function formatTransitSummary(
  t: Translate,
  { medianSteps: median, p90Steps: p90 }: NonNullable<Figures['curve']>,
): string {
  if (median === null) return t('lanes.summary.underHalf')
  if (p90 === null) return t('lanes.summary.median', { median })
  return median === p90 ? t('lanes.summary.p90', { p90 }) : t('lanes.summary.both', { median, p90 })
}

/** "12 October", with the year where it is not that of `now` (ms UTC) in `zone`. `day` is a local day's number. */
export function formatLongDay(t: Translate, day: number, zone: string, now: number): string {
  const isThisYear = toCivilDate(toLocalDay(now, zone)).year === toCivilDate(day).year
  return t.date(day * DAY, 'UTC', isThisYear ? 'longDay' : 'longDayYear')
}

/** "Since 12 October this lane takes a day longer." Shifts are rounded to half a day, from two days on to whole days. */
export function formatPaceChange(t: Translate, change: Change, zone: string, now: number): string {
  const since = formatLongDay(t, change.sinceDay, zone, now)
  if (change.underWay >= change.consignments - 1e-9) return t('lanes.pace.noneArrived', { since })
  const isSlower = change.direction === 'slower'
  const size = Math.max(0, isSlower ? change.shiftDays : -change.shiftDays)
  const days = Math.round(size)
  const halves = size < 1.75 ? Math.floor(2 * size + 0.5) : 2 * days
  return t(isSlower ? 'lanes.pace.slower' : 'lanes.pace.faster', { since, halves, days })
}

const RUN_RULE_LABELS = {
  'beyond the limits': 'laneChart.rule.beyondLimits',
  'nine on one side': 'laneChart.rule.nineOnOneSide',
  'six rising or falling': 'laneChart.rule.sixRisingOrFalling',
  'fourteen up and down': 'laneChart.rule.fourteenUpAndDown',
  'two of three far out': 'laneChart.rule.twoOfThree',
  'four of five off the centre': 'laneChart.rule.fourOfFive',
  'fifteen close to the centre': 'laneChart.rule.fifteenClose',
  'eight clear of the centre': 'laneChart.rule.eightClear',
} as const satisfies Record<RunRule, MessageKey>

/** A rule of the control chart, as a label. */
export function formatRunRule(t: Translate, rule: RunRule): string {
  return t(RUN_RULE_LABELS[rule])
}

const SLOW_LABELS = {
  ...RUN_RULE_LABELS,
  'beyond the limits': 'lanes.slow.beyondLimit',
  'nine on one side': 'lanes.slow.nineWeeks',
  'six rising or falling': 'lanes.slow.rising',
} as const

/** How the latest weeks of a lane are slow, by the rule that they break. */
export function formatSlowRule(t: Translate, rule: RunRule): string {
  return t(SLOW_LABELS[rule])
}

/** A count of shipments: the samples of a consignment sum to a whole one but for rounding. */
export function formatShipmentCount(t: Translate, count: number): string {
  return t.number(Math.round(count))
}
