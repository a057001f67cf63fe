import { FadingCounts } from './fadingCounts'
import { type Group, GroupHierarchy } from './groupHierarchy'
import type { Observation } from './observation'
import { Shrinkage } from './shrinkage'
import type { fitWeights } from './weightFit'

/** Half-lives tried, days of 86,400 s. */
export const HALF_LIVES = [90, 180, 365, 730]
/** The first part of the past only teaches; the rest is foretold in this many runs of equally many shipments. */
const TRAINING_SHARE = 1 / 3
const RUNS = 12
/** With fewer shipments to foretell than this nothing is said to fade. */
const MIN_SHIPMENTS = 50
/** A half-life has to beat none by this many standard errors of the difference. */
const MIN_STANDARD_ERRORS = 2
/** A hazard taken for a score is kept this far from 0 and 1, which only weights set to 0 can reach. */
const MIN_CHANCE = 1e-6

export interface HalfLifeChoice {
  /** Null: nothing fades. */
  days: number | null
  /** By how much its log score was better than that of no fading, summed over the shipments foretold; 0 for none. */
  gain: number
  /** Standard error of that gain, as if the shipments were independent. */
  stdErr: number
}

/** Observations that began in one stretch of time, and beside each the group it belongs to. */
interface Run {
  observations: Observation[]
  groups: Group[]
}

/**
 * How fast the past of a stage goes stale, by prequential log score: each shipment of the later two thirds is foretold
 * from those begun before its run of shipments did. The best half-life is taken if it beats no fading by two standard
 * errors, else nothing fades. Whether those begun earlier were over by then is not asked; it is the same for all.
 *
 * @param presumedLast the least that the last step is.
 * @param chooseWeights the weights, by depth, to foretell with.
 */
export function fitHalfLife(
  observations: readonly Observation[],
  presumedLast: number,
  chooseWeights: typeof fitWeights,
): HalfLifeChoice {
  const none: HalfLifeChoice = { days: null, gain: 0, stdErr: 0 }
  const known = observations.filter(({ steps }) => steps >= 0)
  if (known.length * (1 - TRAINING_SHARE) < MIN_SHIPMENTS) return none
  const hierarchy = new GroupHierarchy()
  const runs = splitIntoRuns(known, hierarchy)
  const scores = (days: number | null) =>
    logScores(runs, new FadingCounts(known[0]?.startedAt ?? 0, days), {
      roster: hierarchy,
      presumedLast,
      chooseWeights,
    })
  const plain = scores(null)
  const choices = HALF_LIVES.map((days) => computeGain(days, plain, scores(days)))
  const best = choices.reduce((one, other) => (other.gain > one.gain ? other : one))
  return best.gain > MIN_STANDARD_ERRORS * best.stdErr ? best : none
}

/** The first run only teaches. Those that began at one instant are in one run. */
function splitIntoRuns(observations: readonly Observation[], hierarchy: GroupHierarchy): Run[] {
  const starts = Float64Array.from(observations, ({ startedAt }) => startedAt).sort()
  const first = Math.ceil(starts.length * TRAINING_SHARE)
  const bounds = Array.from(
    { length: RUNS },
    (_, run) => starts[first + Math.floor((run * (starts.length - first)) / RUNS)] as number,
  )
  const runs: Run[] = Array.from({ length: RUNS + 1 }, () => ({ observations: [], groups: [] }))
  for (const observation of observations) {
    let run = RUNS
    while (run > 0 && observation.startedAt < (bounds[run - 1] as number)) run -= 1
    runs[run]?.observations.push(observation)
    runs[run]?.groups.push(hierarchy.findOrAdd(observation.levels))
  }
  return runs
}

function computeGain(days: number, plain: Float64Array, faded: Float64Array): HalfLifeChoice {
  let [sum, square] = [0, 0]
  for (let index = 0; index < plain.length; index += 1) {
    const gain = (faded[index] as number) - (plain[index] as number)
    sum += gain
    square += gain ** 2
  }
  return { days, gain: sum, stdErr: Math.sqrt(Math.max(0, square - sum ** 2 / plain.length)) }
}

interface FitSettings {
  roster: GroupHierarchy
  presumedLast: number
  chooseWeights: typeof fitWeights
}

/** The log score of each observation of all runs but the first, foretold from the runs before its own. */
function logScores(
  [taught, ...foretold]: Run[],
  counts: FadingCounts,
  { roster: hierarchy, presumedLast, chooseWeights }: FitSettings,
): Float64Array {
  const count = (run: Run | undefined) =>
    run?.observations.forEach((observation, index) => {
      counts.add(observation, run.groups[index] as Group)
    })
  const scores = new Float64Array(foretold.reduce((sum, { groups }) => sum + groups.length, 0))
  let weights: number[] | null = null
  let at = 0
  count(taught)
  for (const run of foretold) {
    const { observations, groups } = run
    if (groups.length === 0) continue
    counts.moveTo(observations.reduce((earliest, { startedAt }) => Math.min(earliest, startedAt), Infinity))
    const last = Math.max(presumedLast, counts.lastStep(hierarchy.pool), 0)
    weights ??= chooseWeights(counts, hierarchy, last)
    const score = createScorer(new Shrinkage(counts, hierarchy, last, weights))
    for (let index = 0; index < observations.length; index += 1, at += 1)
      scores[at] = score(observations[index] as Observation, groups[index] as Group)
    count(run)
  }
  return scores
}

/** Logarithm of the chance of what was seen. */
function createScorer(shrinkage: Shrinkage): (observation: Observation, group: Group) => number {
  const { last, tail } = shrinkage.baseline
  const tables = new Map<Group, { arrives: number[]; stays: number[] }>()
  const getTable = (group: Group) => {
    let table = tables.get(group)
    if (!table) {
      table = computeLogTable(shrinkage.estimate(group).hazard)
      tables.set(group, table)
    }
    return table
  }
  return ({ steps, hasArrived, weight }, group) => {
    const { arrives, stays } = getTable(group)
    // Steps beyond the last one, and those of what never arrives, are each as the tail.
    const seen = Math.min(hasArrived ? steps - 1 : steps, last)
    const beyond = hasArrived ? Math.max(0, steps - 1 - last) : 0
    const stayed = (stays[seen] ?? 0) + beyond * Math.log(1 - tail.hazard)
    return weight * (hasArrived ? stayed + (arrives[steps] ?? Math.log(tail.hazard)) : stayed)
  }
}

/** Logarithms, by step, of the chances of arriving at it, and of not having arrived through it. */
function computeLogTable(hazard: number[]): { arrives: number[]; stays: number[] } {
  const sure = hazard.map((chance) => Math.min(1 - MIN_CHANCE, Math.max(MIN_CHANCE, chance)))
  let sum = 0
  const stays = sure.map((chance) => {
    sum += Math.log(1 - chance)
    return sum
  })
  return { arrives: sure.map((chance) => Math.log(chance)), stays }
}
