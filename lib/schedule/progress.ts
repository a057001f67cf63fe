import type { Deviation } from '@/lib/custody/deviation'
import type { Sample } from '@/lib/custody/sample'
import { MILESTONE_ORDER, MILESTONES, type Milestone } from '@/lib/hold/milestone'
import { openStanding } from '@/lib/hold/standing'
import { firstInstantOf, localDay, parseDay } from '@/lib/hold/zone'
import { ACTS, type ActKind } from './act'
import type { Failure } from './failedWords'

/** Whether a milestone of a sample is reached: it, or one that comes later in life, was reported. */
export function hasReached({ history }: Sample, milestone: Milestone): boolean {
  return MILESTONES.some(
    (one) => MILESTONE_ORDER[one] >= MILESTONE_ORDER[milestone] && history.milestones.has(one),
  )
}

/** Whether a sample's kit has left the programme by `now` (ms UTC); `zone` is the plant's. */
export function isPosted(sample: Sample, zone: string, now: number): boolean {
  const { posted, issuedAt } = sample.kit
  if (hasReached(sample, 'produced')) return true
  if (posted === 'not yet') return false
  return (posted === null ? issuedAt : firstInstantOf(parseDay(posted) as number, zone)) <= now
}

/** The local day in `zone` on which a kit that has been posted left for its plant, as far as is known that of its issue. */
export function postedDay({ kit: { posted, issuedAt } }: Sample, zone: string): number {
  return parseDay(posted ?? '') ?? localDay(issuedAt, zone)
}

/** Whether an act has been done on a sample. */
export function isDone(sample: Sample, act: ActKind, plantZone: string, now: number): boolean {
  const { milestone } = ACTS[act]
  return milestone === null ? isPosted(sample, plantZone, now) : hasReached(sample, milestone)
}

/** Why and since when (ms UTC) a sample has to be cut again; null where it does not. Where several hold, the first. */
export function failureOf(sample: Sample, now: number): { reason: Failure; at: number } | null {
  const { clocks, settled, turns, history, deviations } = sample
  if (history.ending?.kind === 'cancelled') return null
  const failures: { reason: Failure; at: number }[] = []
  if (settled === 'lapsed' || (settled === null && openStanding(turns, now) === 'lapsed')) {
    const dues = clocks.flatMap(({ startedAt, stoppedAt, dueAt, isEnded, isNotReported }) => {
      if (startedAt === null || dueAt === null) return []
      const isMissed = stoppedAt === null ? !isEnded && !isNotReported && now > dueAt : stoppedAt > dueAt
      return isMissed ? [dueAt] : []
    })
    if (dues.length > 0) failures.push({ reason: 'lapsed', at: Math.min(...dues) })
  }
  const ending = history.ending
  if (ending && ending.kind !== 'cancelled') failures.push({ reason: ending.kind, at: ending.at })
  for (const { ruled } of deviations)
    if (ruled?.ruling === 'cut again') failures.push({ reason: 'cut again', at: ruled.at })
  return failures.reduce<(typeof failures)[number] | null>(
    (first, one) => (first === null || one.at < first.at ? one : first),
    null,
  )
}

/** The deviations of a sample that wait for a ruling at `now` (ms UTC), by time. */
export function unruledOf({ deviations }: Sample, now: number): Deviation[] {
  return deviations.filter(({ ruled, at }) => ruled === null && at <= now)
}

/** Whether a sample that can still prove something at `now` (ms UTC) has left, and the copy of its form has not come. */
export function owesFormCopy(sample: Sample, now: number): boolean {
  const { milestones, ending, replacedBy } = sample.history
  const hasLeft = milestones.has('dispatched') || milestones.has('received')
  if (!hasLeft || sample.formCopyAt !== null || hasReached(sample, 'reported')) return false
  return ending === null && replacedBy === null && failureOf(sample, now) === null
}
