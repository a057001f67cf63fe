import { MONTH_NAMES } from '@/lib/hold/holidayText'
import { toCivilDate, toLocalDay } from '@/lib/hold/zone'
import type { Translate } from '@/lib/messages/translate'
import type { LanePage } from '@/lib/store/read/lanes/lanePage'
import { spellCount } from './number'

type Figures = LanePage['figures']
type Change = NonNullable<Figures['pace']['change']>
type RunRule = Figures['slowBreaks'][number]

/** Open days after the day of hand-over: "the same day", "1 open day", "3 open days". */
export function formatSteps(t: Translate, steps: number): string {
  if (steps === 0) return 'the same day'
  return `${steps} open ${steps === 1 ? 'day' : 'days'}`
}

/** The same in a cell of a table; what is never reached is said. */
export function formatStepCell(t: Translate, steps: number | null | undefined): string {
  return steps === null || steps === undefined ? 'not reached' : formatSteps(t, steps)
}

/** How long half and nine of ten take, as a sentence. */
export function formatTransitSummary(
  t: Translate,
  { medianSteps, p90Steps }: NonNullable<Figures['curve']>,
): string {
  const by = (steps: number) => (steps === 0 ? 'on the day of hand-over' : `within ${formatSteps(t, steps)}`)
  if (medianSteps === null) return 'Fewer than half of the shipments ever arrive, as far as is known.'
  if (p90Steps === null)
    return `Half of the shipments arrive ${by(medianSteps)}; nine of ten is not reached, since too many never arrive.`
  if (medianSteps === p90Steps) return `Nine of ten shipments arrive ${by(medianSteps)}.`
  return `Half of the shipments arrive ${by(medianSteps)}, nine of ten ${by(p90Steps)}.`
}

/** "12 October", with the year where it is not that of `now` (ms UTC) in `zone`. `day` is a local day's number. */
export function formatLongDay(t: Translate, day: number, zone: string, now: number): string {
  const { year, month, day: date } = toCivilDate(day)
  const isThisYear = toCivilDate(toLocalDay(now, zone)).year === year
  return `${date} ${MONTH_NAMES[month - 1]}${isThisYear ? '' : ` ${year}`}`
}

/** "a day longer", "half a day less", "a little longer": by how much a change moved the typical shipment. */
function formatPaceShift(
  t: Translate,
  { direction, shiftDays }: Pick<Change, 'direction' | 'shiftDays'>,
): string {
  const than = direction === 'slower' ? 'longer' : 'less'
  const size = direction === 'slower' ? shiftDays : -shiftDays
  if (size < 0.25) return direction === 'slower' ? 'a little longer' : 'a little less'
  if (size < 0.75) return `half a day ${than}`
  if (size < 1.25) return `a day ${than}`
  if (size < 1.75) return `a day and a half ${than}`
  return `${spellCount(t, Math.round(size), 'day')} ${than}`
}

/** "since 12 October this lane takes a day longer". */
export function formatPaceChange(t: Translate, change: Change, zone: string, now: number): string {
  const since = formatLongDay(t, change.sinceDay, zone, now)
  if (change.underWay >= change.consignments - 1e-9) return `nothing sent since ${since} has arrived`
  return `since ${since} this lane takes ${formatPaceShift(t, change)}`
}

const RULES: Record<RunRule, string> = {
  'beyond the limits': 'beyond the limits',
  'nine on one side': 'nine points or more on one side of the centre',
  'six rising or falling': 'six points or more that only rise, or only fall',
  'fourteen up and down': 'fourteen points or more that go up and down in turn',
  'two of three far out': 'two of three points beyond two deviations on one side',
  'four of five off the centre': 'four of five points beyond one deviation on one side',
  'fifteen close to the centre': 'fifteen points or more within one deviation of the centre',
  'eight clear of the centre': 'eight points or more with none within one deviation of the centre',
}

/** What a rule of the control chart finds, in words. */
export function formatRunRule(t: Translate, rule: RunRule): string {
  return RULES[rule]
}

const SLOW: Partial<Record<RunRule, string>> = {
  'beyond the limits': 'beyond the slow limit',
  'nine on one side': 'slower than usual nine weeks or more in a row',
  'six rising or falling': 'slower week by week',
}

/** How the latest weeks of a lane are slow, by the rule that they break. */
export function formatSlowRule(t: Translate, rule: RunRule): string {
  return SLOW[rule] ?? RULES[rule]
}

/** A share rounded to whole percent, never to 0 % of something nor 100 % of less. */
export function formatPercent(t: Translate, share: number): string {
  if (share > 1e-9 && share < 0.01) return 'under 1 %'
  if (share < 1 - 1e-9 && share > 0.99) return 'over 99 %'
  return `${Math.round(share * 100)} %`
}

/** A count of shipments as people read it: samples of one consignment sum to whole ones, but for rounding. */
export function formatShipmentCount(t: Translate, count: number): string {
  return Math.round(count).toLocaleString('en-GB')
}
