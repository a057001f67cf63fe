import { formatKitCode, UNSEEN_KIT } from '@/lib/custody/kitCode'
import { getClockState } from '@/lib/hold/clock'
import type { Standing } from '@/lib/hold/standing'
import { describeReplacement, describeStep, findNextStep } from '@/lib/judgement/nextStep'
import { type ActingRoles, isResponsible } from '@/lib/judgement/responsibility'
import type { Translate } from '@/lib/messages/translate'
import type { SampleRow } from '@/lib/store/projection/sampleRow'
import { formatChance } from './chance'
import { formatDuration, formatRoughDuration } from './duration'
import { formatDay } from './instant'

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

/** How a sample stands: the same as its strip shows. */
export interface StandingText {
  standing: Standing
  /** "at risk: 9 hours left", "lapsed 3 hours ago" */
  headline: string
  /** The name of the limit this is about. */
  limit: string | null
  /** "12 % to miss", "settled Tue 10 Nov" */
  note: string | null
  /** What the reader is to do. */
  action: string | null
}

/** The standing at `now` (ms UTC): as derived, or lapsed if the due has passed since. */
export function getStanding(row: StandingFields, now: number): Standing {
  const isOver = !row.isSettled && row.binding !== null && getClockState(row.binding, now) === 'overrun'
  return isOver ? 'lapsed' : row.standing
}

/** How a sample stands at `now` (ms UTC), and what its reader is to do. Days are those of `zone`. */
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

/** How a sample stands, without what to do. */
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
    return { standing, ...found, note: formatReplacement(t, row.replacedBy) ?? found.note }
  }
  if (row.binding === null || row.binding.dueAt === null)
    return { standing, headline: formatNoClock(t, row), limit: null, note: null }
  return {
    standing,
    headline: t(TIME_LEFT[standing] ?? 'standing.sound.left', {
      left: formatDuration(t, row.binding.dueAt - now),
    }),
    limit: row.binding.limit.name,
    note: row.forecast && t('standing.missChance', { chance: formatChance(t, row.forecast.risk) }),
  }
}

function formatReplacement(t: Translate, kit: string | null): string | null {
  if (kit === null) return null
  return kit === UNSEEN_KIT
    ? t('standing.replacedByUnseen')
    : t('standing.replacedBy', { kit: formatKitCode(kit) })
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
    return row.missingMilestones.map((one) => t(`milestone.${one}.askWhen`)).join(' · ')
  return standing === 'at risk' && row.binding?.dueAt != null ? formatStep(t, row, reader) : null
}

/** What someone can still do for a sample at risk. */
function formatStep(
  t: Translate,
  { forecast, stage, plant, laboratory, binding }: StandingFields,
  reader: ActingRoles,
): string | null {
  const isDesk = isResponsible({ by: 'laboratory', code: laboratory }, reader)
  if (forecast?.needsOpening)
    return t(isDesk ? 'act.openOutOfHours.do' : 'act.openOutOfHours.ask', { sample: 'it' })
  const step = findNextStep(stage, binding?.limit.to ?? null)
  if (step === null) return null
  const isTheirs =
    step.by !== null && isResponsible({ by: step.by, code: { plant, laboratory }[step.by] }, reader)
  return describeStep(t, step, 'it', isTheirs)
}

type StatusText = Pick<StandingText, 'headline' | 'limit' | 'note'>

const TIME_LEFT: Partial<
  Record<Standing, 'standing.sound.left' | 'standing.tight.left' | 'standing.atRisk.left'>
> = {
  sound: 'standing.sound.left',
  tight: 'standing.tight.left',
  'at risk': 'standing.atRisk.left',
}

function formatLapsed(t: Translate, { isSettled, binding, lapsed }: StandingFields, now: number): StatusText {
  const isOverrun = !isSettled && binding !== null && getClockState(binding, now) === 'overrun'
  const missed = isOverrun ? binding : lapsed
  if (missed === null || missed.dueAt === null)
    return { headline: t('standing.name.lapsed'), limit: null, note: null }
  const { dueAt, stoppedAt, limit } = missed
  const headline =
    stoppedAt === null
      ? t('standing.lapsed.ago', { ago: formatRoughDuration(t, now - dueAt) })
      : t('standing.lapsed.missedBy', { late: formatDuration(t, stoppedAt - dueAt) })
  return { headline, limit: limit.name, note: null }
}

function formatNoClock(t: Translate, { protocol, stage }: StandingFields): string {
  if (protocol === null) return t('standing.noLimit')
  return t(stage === null || stage === 'produced' ? 'standing.noClockYet' : 'standing.noClock')
}

function formatSettled(t: Translate, row: StandingFields, zone: string, now: number): StatusText {
  const { ending, settledAt, standing } = row
  const day = settledAt === null ? null : formatDay(t, settledAt, zone, now)
  const settled = day === null ? null : t('standing.settledOn', { day })
  if (standing === 'lapsed') {
    const { headline, limit } = formatLapsed(t, row, now)
    if (ending === null) return { headline, limit, note: settled }
    const note =
      day === null ? t('whereabouts.ended', { ending }) : t('standing.endedSettledOn', { ending, day })
    return { headline, limit, note }
  }
  if (standing === 'ended')
    return { headline: t('standing.ended', { ending: ending ?? '' }), limit: null, note: settled }
  const headline = t(standing === 'kept' ? 'standing.name.kept' : 'standing.name.unproven')
  return { headline, limit: null, note: settled }
}
