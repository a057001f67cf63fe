import { formatKitCode } from '@/lib/custody/kitCode'
import { getClockState } from '@/lib/hold/clock'
import type { Standing } from '@/lib/hold/standing'
import { ASK_TO_OPEN, describeReplacement, describeStep, findNextStep } from '@/lib/judgement/nextStep'
import { type ActingRoles, isResponsible } from '@/lib/judgement/responsibility'
import type { Translate } from '@/lib/messages/translate'
import { formatMilestone } from '@/lib/schedule/milestoneText'
import type { SampleRow } from '@/lib/store/projection/sampleRow'
import { formatChance } from './chanceText'
import { formatDuration, formatRoughDuration } from './duration'
import { formatDay } from './instant'
import { formatList } from './number'

type StandingFields = Pick<
  SampleRow,
  | 'plant'
  | 'laboratory'
  | 'purpose'
  | 'standing'
  | 'isSettled'
  | 'replacedBy'
  | 'settledAt'
  | 'ending'
  | 'binding'
  | 'lapsed'
  | 'missingMilestones'
  | 'stage'
  | 'protocol'
  | 'forecast'
>

/** How a sample stands, in words that say the same as its strip. */
export interface StandingText {
  standing: Standing
  /** The standing and the time: "at risk: 9 hours left", "lapsed 3 hours ago". */
  headline: string
  /** The name of the limit this is about; null where it is about none. */
  limit: string | null
  /** What more there is to know; null where nothing is. */
  note: string | null
  /** What to do, in a few words; null where nothing is to be done. */
  action: string | null
}

/** The standing at `now` (ms UTC): as it was derived, or lapsed where the due has passed since. */
export function getStanding(row: StandingFields, now: number): Standing {
  const isOver = !row.isSettled && row.binding !== null && getClockState(row.binding, now) === 'overrun'
  return isOver ? 'lapsed' : row.standing
}

/** How a sample stands at `now` (ms UTC), and what whoever reads it is to do; days are those of `zone`. */
export function formatStanding(
  t: Translate,
  row: StandingFields,
  zone: string,
  now: number,
  reader: ActingRoles,
): StandingText {
  const found = formatStatus(t, row, zone, now)
  return { ...found, action: formatAction(t, row, found.standing, reader) }
}

/** The same without what to do. */
export function formatStatus(
  t: Translate,
  row: StandingFields,
  zone: string,
  now: number,
): Omit<StandingText, 'action'> {
  const standing = getStanding(row, now)
  if (row.isSettled) return { standing, ...formatSettled(t, row, zone, now) }
  if (standing === 'lapsed') {
    const found = formatLapsed(t, row, now)
    const { replacedBy } = row
    return {
      standing,
      ...found,
      note: replacedBy === null ? found.note : `replaced by ${formatKitCode(replacedBy)}`,
    }
  }
  if (row.binding === null || row.binding.dueAt === null)
    return { standing, headline: formatNoClock(t, row), limit: null, note: null }
  const left = `${formatDuration(t, row.binding.dueAt - now)} left`
  return {
    standing,
    headline: `${standing}: ${left}`,
    limit: row.binding.limit.name,
    note: row.forecast && `${formatChance(t, row.forecast.risk)} to miss`,
  }
}

function formatAction(
  t: Translate,
  row: StandingFields,
  standing: Standing,
  reader: ActingRoles,
): string | null {
  if (row.isSettled) return null
  if (standing === 'lapsed') return describeReplacement(t, 'it', row, reader)
  if (row.missingMilestones.length > 0)
    return formatList(
      t,
      row.missingMilestones.map((one) => `ask when ${formatMilestone(t, one)}`),
    )
  return standing === 'at risk' && row.binding?.dueAt != null ? formatStep(t, row, reader) : null
}

/** What someone can still do for a sample at risk. */
function formatStep(
  t: Translate,
  { forecast, stage, plant, laboratory, binding }: StandingFields,
  reader: ActingRoles,
): string | null {
  const isDesk = isResponsible({ by: 'laboratory', code: laboratory }, reader)
  if (forecast?.needsOpening) return isDesk ? 'open out of hours' : ASK_TO_OPEN
  const step = findNextStep(stage, binding?.limit.to ?? null)
  if (step === null) return null
  const isTheirs =
    step.by !== null && isResponsible({ by: step.by, code: { plant, laboratory }[step.by] }, reader)
  return describeStep(t, step, 'it', isTheirs)
}

type StatusText = Pick<StandingText, 'headline' | 'limit' | 'note'>

function formatLapsed(t: Translate, { isSettled, binding, lapsed }: StandingFields, now: number): StatusText {
  const overrun =
    !isSettled && binding !== null && getClockState(binding, now) === 'overrun' ? binding : lapsed
  if (overrun === null || overrun.dueAt === null) return { headline: 'lapsed', limit: null, note: null }
  const lead =
    overrun.stoppedAt === null
      ? `lapsed ${formatRoughDuration(t, now - overrun.dueAt)} ago`
      : `lapsed: missed by ${formatDuration(t, overrun.stoppedAt - overrun.dueAt)}`
  return { headline: lead, limit: overrun.limit.name, note: null }
}

function formatNoClock(t: Translate, { protocol, stage }: StandingFields): string {
  if (protocol === null) return 'no hold limit known'
  return stage === null || stage === 'produced' ? 'no clock running yet' : 'no clock running'
}

function formatSettled(t: Translate, row: StandingFields, zone: string, now: number): StatusText {
  const note = row.settledAt === null ? null : `settled ${formatDay(t, row.settledAt, zone, now)}`
  if (row.standing === 'lapsed') {
    const { headline: lead, limit } = formatLapsed(t, row, now)
    return {
      headline: lead,
      limit,
      note: row.ending === null ? note : [row.ending, note].filter(Boolean).join(', '),
    }
  }
  const lead = row.standing === 'ended' && row.ending !== null ? `ended: ${row.ending}` : row.standing
  return { headline: lead, limit: null, note }
}
