import type { Ending } from '@/lib/hold/milestone'
import { listUnruled } from './finding'
import type { Sample } from './sample'

/**
 * Whether a sample can prove anything: an unfit one lapsed, ended or was ruled out; one in question has a finding that waits for
 * its ruling.
 */
export type Fitness = 'fit' | 'in question' | 'unfit'

/** Why a sample proves nothing and is replaced. A cancelled kit is not: nothing was to be proved by it any more. */
export type Failure = 'lapsed' | Exclude<Ending, 'cancelled'> | 'cut again'

type Judged = Pick<Sample, 'clocks' | 'history' | 'findings'>

/** The fitness at `now` (ms UTC). */
export function getFitness(sample: Judged, now: number): Fitness {
  const { history, findings } = sample
  const ending = history.ending
  if (ending !== null && ending.at <= now) return 'unfit'
  const failure = findFailure(sample, now)
  if (failure !== null && failure.at <= now) return 'unfit'
  return listUnruled(findings, now).length > 0 ? 'in question' : 'fit'
}

/** The first reason why a sample is unfit, and since when (ms UTC); null if it is not, or only cancelled. */
export function findFailure(
  { clocks, history, findings }: Judged,
  now: number,
): { reason: Failure; at: number } | null {
  if (history.ending?.kind === 'cancelled') return null
  const failures: { reason: Failure; at: number }[] = []
  for (const { limit, startedAt, stoppedAt, dueAt, isEnded, isNotReported } of clocks) {
    // A late report says nothing about the sample.
    if (limit.to === 'reported' || startedAt === null || dueAt === null) continue
    const isMissed = stoppedAt === null ? !isEnded && !isNotReported && now > dueAt : stoppedAt > dueAt
    if (isMissed) failures.push({ reason: 'lapsed', at: dueAt })
  }
  const ending = history.ending
  if (ending && ending.kind !== 'cancelled') failures.push({ reason: ending.kind, at: ending.at })
  for (const { decision } of findings)
    if (decision?.ruling === 'cut again') failures.push({ reason: 'cut again', at: decision.at })
  return failures.reduce<(typeof failures)[number] | null>(
    (first, one) => (first === null || one.at < first.at ? one : first),
    null,
  )
}
