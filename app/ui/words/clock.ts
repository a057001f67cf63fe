import { type Clock, getClockState } from '@/lib/hold/clock'
import type { Limit } from '@/lib/hold/limit'
import { MILESTONE_ORDER, type Milestone } from '@/lib/hold/milestone'
import { findCalendarOwner, findCountingMethod, formatCount } from '@/lib/hold/units'
import type { Translate } from '@/lib/messages/translate'
import { AWAITED_LABELS, formatMilestone } from '@/lib/schedule/milestoneText'
import { formatDuration, formatRoughDuration } from './duration'

/** How one clock stands at `now` (ms UTC), in a few words. */
export function formatClock(t: Translate, clock: Clock, now: number): string {
  const { startedAt, stoppedAt, limit } = clock
  const due = clock.dueAt ?? 0
  switch (getClockState(clock, now)) {
    case 'not started':
      if (clock.isEnded) return 'never started'
      return clock.isNotReported
        ? 'its start was not reported'
        : `not started: begins once it is ${AWAITED_LABELS[limit.from]}`
    case 'running':
      return clock.isNotReported
        ? 'its stop was not reported'
        : `running: ${formatDuration(t, due - now)} left`
    case 'overrun':
      return clock.isNotReported
        ? 'its stop was not reported'
        : `lapsed ${formatRoughDuration(t, now - due)} ago`
    case 'ended':
      return 'ended with the sample'
    case 'unproven':
      return startedAt === null
        ? 'unproven: its start was not reported'
        : 'unproven: its stop is before its start'
    case 'kept':
      return formatKept(t, clock, stoppedAt as number)
    case 'lapsed':
      return `lapsed: missed by ${formatDuration(t, (stoppedAt as number) - due)}`
  }
}

function formatKept(t: Translate, { dueAt, firstDueAt }: Clock, stoppedAt: number): string {
  const spare = `kept with ${formatDuration(t, (dueAt as number) - stoppedAt)} to spare`
  return firstDueAt !== null && stoppedAt > firstDueAt ? `${spare}, by extension` : spare
}

/** What a limit allows, as a sentence without its name. */
export function formatLimit(t: Translate, limit: Limit): string {
  const [start, awaited] = [formatMilestone(t, limit.from), AWAITED_LABELS[limit.to]]
  const way = findCountingMethod(limit)
  const side = findCalendarOwner(limit) ?? 'laboratory'
  if (limit.amount === 0 && way.by === 'calendar' && way.isSameDayAtZero)
    return `By the end of the day on which ${start}, by the ${side}’s calendar, it is to be ${awaited}.`
  return `At most ${way.text(formatCount(t, limit), side)} from when ${start} until it is ${awaited}.`
}

/** The zone in which a milestone's time is told first: where it happens, at the plant or at the laboratory. */
export function findMilestoneZone(milestone: Milestone, plantZone: string, laboratoryZone: string): string {
  return MILESTONE_ORDER[milestone] < MILESTONE_ORDER.delivered ? plantZone : laboratoryZone
}

/** From the issue of the kit or one milestone to another. */
export interface Stage {
  from: Milestone | 'issued'
  to: Milestone
}

const STAGE_NAMES: Record<string, string> = {
  'issued collected': 'kit out to cut',
  'collected dispatched': 'cut to hand-over',
  'dispatched received': 'on the way',
  'received loaded': 'dock to chamber',
  'loaded reported': 'chamber to report',
}

/** What a stage of a sample's way is called, as the head of a column. */
export function formatStage(t: Translate, { from, to }: Stage): string {
  return STAGE_NAMES[`${from} ${to}`] ?? `${from} to ${to}`
}
