import { type Clock, stateAt } from '@/lib/hold/clock'
import type { Limit } from '@/lib/hold/limit'
import { MILESTONE_ORDER, type Milestone } from '@/lib/hold/milestone'
import { findCalendarOwner, findWay, formatCount } from '@/lib/hold/units'
import { AWAITED, began } from '@/lib/schedule/milestoneWords'
import { durationWords, roughDuration } from './durationWords'

/** How one clock stands at `now` (ms UTC), in a few words. */
export function clockWords(clock: Clock, now: number): string {
  const { startedAt, stoppedAt, limit } = clock
  const due = clock.dueAt ?? 0
  switch (stateAt(clock, now)) {
    case 'not started':
      if (clock.isEnded) return 'never started'
      return clock.isNotReported
        ? 'its start was not reported'
        : `not started: begins once it is ${AWAITED[limit.from]}`
    case 'running':
      return clock.isNotReported ? 'its stop was not reported' : `running: ${durationWords(due - now)} left`
    case 'overrun':
      return clock.isNotReported ? 'its stop was not reported' : `lapsed ${roughDuration(now - due)} ago`
    case 'ended':
      return 'ended with the sample'
    case 'unproven':
      return startedAt === null
        ? 'unproven: its start was not reported'
        : 'unproven: its stop is before its start'
    case 'kept':
      return keptWords(clock, stoppedAt as number)
    case 'lapsed':
      return `lapsed: missed by ${durationWords((stoppedAt as number) - due)}`
  }
}

function keptWords({ dueAt, firstDueAt }: Clock, stoppedAt: number): string {
  const spare = `kept with ${durationWords((dueAt as number) - stoppedAt)} to spare`
  return firstDueAt !== null && stoppedAt > firstDueAt ? `${spare}, by extension` : spare
}

/** What a limit allows, as a sentence without its name. */
export function limitWords(limit: Limit): string {
  const [start, awaited] = [began(limit.from), AWAITED[limit.to]]
  const way = findWay(limit)
  const side = findCalendarOwner(limit) ?? 'laboratory'
  if (limit.amount === 0 && way.by === 'calendar' && way.isSameDayAtZero)
    return `By the end of the day on which ${start}, by the ${side}’s calendar, it is to be ${awaited}.`
  return `At most ${way.text(formatCount(limit), side)} from when ${start} until it is ${awaited}.`
}

/** The zone in which a milestone's time is told first: where it happens, at the plant or at the laboratory. */
export function milestoneZone(milestone: Milestone, plantZone: string, laboratoryZone: string): string {
  return MILESTONE_ORDER[milestone] < MILESTONE_ORDER.delivered ? plantZone : laboratoryZone
}

/** From the issue of the kit or one milestone to another. */
export interface Stage {
  from: Milestone | 'issued'
  to: Milestone
}

const NAMES: Record<string, string> = {
  'issued collected': 'kit out to cut',
  'collected dispatched': 'cut to hand-over',
  'dispatched received': 'on the way',
  'received loaded': 'dock to chamber',
  'loaded reported': 'chamber to report',
}

/** What a stage of a sample's way is called, as the head of a column. */
export function stageName({ from, to }: Stage): string {
  return NAMES[`${from} ${to}`] ?? `${from} to ${to}`
}
