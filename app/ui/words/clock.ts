import { type Clock, getClockState } from '@/lib/hold/clock'
import type { Limit } from '@/lib/hold/limit'
import { MILESTONE_ORDER, type Milestone } from '@/lib/hold/milestone'
import { findCalendarOwner, findCountingMethod, formatAllowance } from '@/lib/hold/units'
import type { MessageKey } from '@/lib/messages/message'
import type { Translate } from '@/lib/messages/translate'
import { MILESTONE_LABELS } from '@/lib/schedule/milestoneText'
import { formatDuration, formatRoughDuration } from './duration'

/** The state of a clock at `now` (ms UTC): "running: 9 days left". */
export function formatClock(t: Translate, clock: Clock, now: number): string {
  const { stoppedAt, limit, isNotReported } = clock
  const due = clock.dueAt ?? 0
  switch (getClockState(clock, now)) {
    case 'not started':
      if (clock.isEnded) return t('clock.neverStarted')
      return isNotReported ? t('clock.startNotReported') : t('clock.notStarted', { from: limit.from })
    case 'running':
      return isNotReported ? t('clock.stopNotReported') : formatRunning(t, clock, due - now, now)
    case 'overrun':
      return isNotReported
        ? t('clock.stopNotReported')
        : t(limit.to === 'reported' ? 'standing.lateReport.due' : 'standing.lapsed.ago', {
            ago: formatRoughDuration(t, now - due),
          })
    case 'ended':
      return t('clock.ended')
    case 'unproven':
      return t(clock.startedAt === null ? 'clock.unproven.noStart' : 'clock.unproven.order')
    case 'early':
      return t('clock.early', { wait: formatWait(t, clock, clock.stoppedEarliestAt as number) })
    case 'kept':
      return formatKept(t, clock, stoppedAt as number)
    case 'lapsed':
      return t(limit.to === 'reported' ? 'standing.lateReport.by' : 'standing.lapsed.missedBy', {
        late: formatDuration(t, (stoppedAt as number) - due),
      })
  }
}

function formatRunning(t: Translate, clock: Clock, leftMs: number, now: number): string {
  const left = formatDuration(t, leftMs)
  const isResting = clock.earliestStopAt !== null && now < clock.earliestStopAt
  return isResting
    ? t('clock.resting', { left, wait: formatWait(t, clock, now) })
    : t('clock.running', { left })
}

/** How long before its earliest stop `at` is. */
function formatWait(t: Translate, { earliestStopAt }: Clock, at: number): string {
  return formatDuration(t, (earliestStopAt as number) - at)
}

function formatKept(t: Translate, { dueAt, firstDueAt }: Clock, stoppedAt: number): string {
  const spare = formatDuration(t, (dueAt as number) - stoppedAt)
  const isByExtension = firstDueAt !== null && stoppedAt > firstDueAt
  return t(isByExtension ? 'clock.keptByExtension' : 'clock.kept', { spare })
}

/** What a limit allows, as a sentence without its name. A least time within the same day asks for nothing. */
export function formatLimit(t: Translate, limit: Limit): string {
  const { from, to, amount, atLeast } = limit
  const method = findCountingMethod(limit)
  if (amount === 0 && method.by === 'calendar' && method.isSameDayAtZero)
    return t(`limit.sameDay.${findCalendarOwner(limit) ?? 'laboratory'}`, { from, to })
  const allowance = formatAllowance(t, limit)
  return atLeast === undefined
    ? t('limit.atMost', { allowance, from, to })
    : t('limit.between', { least: formatAllowance(t, { ...limit, amount: atLeast }), allowance, from, to })
}

/** The zone in which a milestone happens, the plant's or the laboratory's: its time comes first. */
export function findMilestoneZone(milestone: Milestone, plantZone: string, laboratoryZone: string): string {
  return MILESTONE_ORDER[milestone] < MILESTONE_ORDER.delivered ? plantZone : laboratoryZone
}

/** From the issue of the kit or one milestone to another. */
export interface Stage {
  from: Milestone | 'issued'
  to: Milestone
}

const STAGE_NAMES: Record<
  string,
  Exclude<Extract<MessageKey, `stage.${string}`>, 'stage.other' | 'stage.issued'>
> = {
  'issued collected': 'stage.issuedToCut',
  'collected dispatched': 'stage.cutToHandOver',
  'dispatched received': 'stage.transit',
  'received loaded': 'stage.dockToChamber',
  'loaded reported': 'stage.chamberToReport',
}

/** The name of a stage, as the head of a column: "cut to hand-over". */
export function formatStage(t: Translate, { from, to }: Stage): string {
  const name = STAGE_NAMES[`${from} ${to}`]
  if (name) return t(name)
  const start = t(from === 'issued' ? 'stage.issued' : MILESTONE_LABELS[from])
  return t('stage.other', { from: start, to: t(MILESTONE_LABELS[to]) })
}
