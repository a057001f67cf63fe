import type { Limit } from '@/lib/hold/limit'
import type { Moment, Trial } from './trial'

/**
 * Predictions that need no forecast: the share late of all or of the lane; the share late of samples as far as
 * this one after as many open days, of the lane or of its service; and certainly late after more than the
 * lane's median time.
 */
export const PLAIN_RULES = [
  'share of all',
  'share of the lane',
  'share of the lane, not yet',
  'share of the service, not yet',
  'over the median',
] as const
export type PlainRule = (typeof PLAIN_RULES)[number]

interface LateCount {
  late: number
  all: number
}

/**
 * The plain rules as of one time, learned from trials whose due has passed. They learn outcomes at the due,
 * reported or not, which is more than anyone knew then; a rule without data of its own uses the next wider
 * group. So no rule loses for lack of data. A consignment counts once.
 */
export class PlainRules {
  readonly #counters = new Map<string, LateCount>()
  readonly #durations = new Map<string, number[]>()

  /** `weight` is the trial's share of a consignment. */
  learn(trial: Trial, weight: number): void {
    const { lane, service, all } = getGroups(trial)
    for (const group of [lane, service, all]) this.#count(group, trial.isLate, weight)
    for (const moment of trial.moments)
      for (const group of [lane, service, all]) this.#count(getMomentKey(group, moment), trial.isLate, weight)
    const took = trial.stoppedAt === null ? Number.POSITIVE_INFINITY : trial.stoppedAt - trial.dispatchedAt
    for (const group of [lane, service, all]) insert(this.#getDurations(group), took)
  }

  /** The chance of being late that each rule gives at one moment of a trial. */
  chances(trial: Trial, moment: Moment): Record<PlainRule, number> {
    const { lane, service, all } = getGroups(trial)
    const [laneThen, serviceThen, allThen] = [lane, service, all].map((group) =>
      getMomentKey(group, moment),
    ) as [string, string, string]
    const median = [lane, service, all].map((group) => findMedian(this.#durations.get(group))).find(isKnown)
    return {
      'share of all': this.#share(all),
      'share of the lane': this.#share(lane, all),
      'share of the lane, not yet': this.#share(laneThen, serviceThen, allThen, lane, all),
      'share of the service, not yet': this.#share(serviceThen, allThen, service, all),
      'over the median': median !== undefined && moment.at - trial.dispatchedAt > median ? 1 : 0,
    }
  }

  /** Share late of the first group with data, with half a case of each kind added. */
  #share(...groups: string[]): number {
    for (const group of groups) {
      const counter = this.#counters.get(group)
      if (counter) return (counter.late + 0.5) / (counter.all + 1)
    }
    return 0.5
  }

  #count(group: string, isLate: boolean, weight: number): void {
    const counter = this.#counters.get(group) ?? { late: 0, all: 0 }
    if (isLate) counter.late += weight
    counter.all += weight
    this.#counters.set(group, counter)
  }

  #getDurations(group: string): number[] {
    const known = this.#durations.get(group) ?? []
    this.#durations.set(group, known)
    return known
  }
}

/** A trial counts in its lane, its service and all, for its own limit. */
function getGroups({ journey, limit }: Trial): { lane: string; service: string; all: string } {
  const { plant, laboratory, service } = journey
  const judged = limitKey(limit)
  return {
    lane: JSON.stringify(['lane', judged, plant, laboratory, service]),
    service: JSON.stringify(['service', judged, service]),
    all: JSON.stringify(['all', judged]),
  }
}

const getMomentKey = (group: string, { openDays, phase }: Moment) => JSON.stringify([group, openDays, phase])

/** Two limits that read the same have the same key. */
export function limitKey({ name, from, to, amount, unit, counting, zone }: Limit): string {
  return JSON.stringify([name, from, to, amount, unit, counting, zone])
}

const isKnown = (median: number | undefined): median is number => median !== undefined

function findMedian(sorted: readonly number[] | undefined): number | undefined {
  return sorted?.[Math.floor((sorted.length - 1) / 2)]
}

function insert(sorted: number[], value: number): void {
  let [low, high] = [0, sorted.length]
  while (low < high) {
    const half = (low + high) >>> 1
    if ((sorted[half] as number) <= value) low = half + 1
    else high = half
  }
  sorted.splice(low, 0, value)
}
