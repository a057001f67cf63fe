import { formatKitCode, UNSEEN_KIT } from '@/lib/custody/kitCode'
import { type Clock, getClockState } from '@/lib/hold/clock'
import type { Standing } from '@/lib/hold/standing'
import type { Judgement, Restraint } from '@/lib/judgement/judge'
import { getSampleGroup, type SampleGroup } from '@/lib/judgement/sampleGroup'
import type { MessageKey } from '@/lib/messages/message'
import type { Translate } from '@/lib/messages/translate'
import type { SampleRow } from '@/lib/store/projection/sampleRow'
import { formatChance } from './chance'
import { formatDuration, formatRoughDuration } from './duration'
import { formatDay } from './instant'

type StandingFields = Pick<
  SampleRow,
  | 'standing'
  | 'isSettled'
  | 'replacedBy'
  | 'settledAt'
  | 'ending'
  | 'binding'
  | 'lapsed'
  | 'stage'
  | 'protocol'
  | 'forecast'
> & {
  /** Absent, as null, where nothing can be asked about it. */
  judgement?: Judgement | null
}

/** How a sample stands: the same as its strip shows. */
export interface StandingText {
  standing: Standing
  /** "at risk: 9 hours left", "lapsed 3 hours ago", "in question: 9 hours left" */
  headline: string
  /** The name of the limit this is about. */
  limit: string | null
  /** "12 % to miss", "settled Tue 10 Nov" */
  note: string | null
  /** What was found and waits for its ruling, as a sentence. */
  found: string | null
  /** What must not be done with it, as a sentence. */
  restraint: string | null
}

const RESTRAINTS = {
  'do not send': 'restraint.doNotSend',
  'do not load': 'restraint.doNotLoad',
} as const satisfies Record<Restraint, MessageKey>

/** The standing at `now` (ms UTC): as derived, or lapsed if the due has passed since. */
export function getStanding(
  row: Pick<StandingFields, 'isSettled' | 'binding' | 'standing'>,
  now: number,
): Standing {
  const isOver = !row.isSettled && row.binding !== null && getClockState(row.binding, now) === 'overrun'
  return isOver ? 'lapsed' : row.standing
}

/** The judgement of a row at `now` (ms UTC); null where nothing can be asked, or where its due has passed since it was judged. */
export function getJudgement(row: StandingFields, now: number): Judgement | null {
  return getStanding(row, now) === row.standing ? (row.judgement ?? null) : null
}

/** The group of an open row at `now` (ms UTC). */
export function getRowGroup(row: StandingFields, now: number): SampleGroup {
  return getSampleGroup(row.judgement ?? null, getStanding(row, now))
}

/** How a sample stands at `now` (ms UTC). Days are those of `zone`. */
export function formatStatus(t: Translate, row: StandingFields, zone: string, now: number): StandingText {
  const standing = getStanding(row, now)
  const judgement = getJudgement(row, now)
  const what = judgement?.acts.find(({ findings }) => findings.length > 0)?.why ?? null
  return {
    standing,
    ...formatHeadline(t, row, standing, judgement, zone, now),
    found: what && t.message(what),
    restraint: judgement?.restraint ? t(RESTRAINTS[judgement.restraint]) : null,
  }
}

function formatHeadline(
  t: Translate,
  row: StandingFields,
  standing: Standing,
  judgement: Judgement | null,
  zone: string,
  now: number,
): StatusText {
  const isRuledOut = judgement?.fitness === 'unfit' && standing !== 'lapsed' && standing !== 'ended'
  if (row.isSettled) {
    const settled = formatSettled(t, row, zone, now)
    if (isRuledOut) return { ...settled, headline: t('standing.ruledOut'), limit: null }
    return judgement?.fitness === 'in question'
      ? { ...settled, headline: t('standing.inQuestion'), limit: null }
      : settled
  }
  const replacement = formatReplacement(t, row.replacedBy)
  if (isRuledOut) return { headline: t('standing.ruledOut'), limit: null, note: replacement }
  if (standing === 'lapsed') {
    const found = formatLapsed(t, row, now)
    return { ...found, note: replacement ?? found.note }
  }
  return formatOpen(t, row, judgement?.fitness === 'in question' ? 'in question' : standing, now)
}

/** A sample whose limits still leave time. */
function formatOpen(
  t: Translate,
  row: StandingFields,
  standing: Standing | 'in question',
  now: number,
): StatusText {
  const { binding, forecast } = row
  if (binding === null || binding.dueAt === null) {
    const headline = standing === 'in question' ? t('standing.inQuestion') : formatNoClock(t, row)
    return { headline, limit: null, note: null }
  }
  return {
    headline: t(TIME_LEFT[standing] ?? 'standing.sound.left', {
      left: formatDuration(t, binding.dueAt - now),
    }),
    limit: binding.limit.name,
    note:
      forecast &&
      t(isOfReport(binding) ? 'standing.lateReport.chance' : 'standing.missChance', {
        chance: formatChance(t, forecast.risk),
      }),
  }
}

function formatReplacement(t: Translate, kit: string | null): string | null {
  if (kit === null) return null
  return kit === UNSEEN_KIT
    ? t('standing.replacedByUnseen')
    : t('standing.replacedBy', { kit: formatKitCode(kit) })
}

type StatusText = Pick<StandingText, 'headline' | 'limit' | 'note'>

const TIME_LEFT: Partial<Record<Standing | 'in question', Extract<MessageKey, `standing.${string}.left`>>> = {
  sound: 'standing.sound.left',
  tight: 'standing.tight.left',
  'at risk': 'standing.atRisk.left',
  'in question': 'standing.inQuestion.left',
}

/** Whether a clock ends with the report: one that is late is late, and takes nothing from the sample. */
const isOfReport = ({ limit }: Clock): boolean => limit.to === 'reported'

function formatLapsed(t: Translate, { isSettled, binding, lapsed }: StandingFields, now: number): StatusText {
  const isOverrun = !isSettled && binding !== null && getClockState(binding, now) === 'overrun'
  const missed = isOverrun ? binding : lapsed
  if (missed === null || missed.dueAt === null)
    return { headline: t('standing.name.lapsed'), limit: null, note: null }
  const { dueAt, stoppedAt, limit } = missed
  const isReport = isOfReport(missed)
  const headline =
    stoppedAt === null
      ? t(isReport ? 'standing.lateReport.due' : 'standing.lapsed.ago', {
          ago: formatRoughDuration(t, now - dueAt),
        })
      : t(isReport ? 'standing.lateReport.by' : 'standing.lapsed.missedBy', {
          late: formatDuration(t, stoppedAt - dueAt),
        })
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
