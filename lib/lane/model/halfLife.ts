import { FadingCounts } from './fadingCounts'
import { type Group, GroupHierarchy } from './groupHierarchy'
import type { Observation } from './observation'
import { Shrinkage } from './shrinkage'
import type { fitWeights } from './weightFit'

/** Half-lives tried, days of 86,400 s. */
export const HALF_LIVES = [90, 180, 365, 730]
/** The first part of the past only trains; the rest is predicted in this many runs of equal size. */
const TRAINING_SHARE = 1 / 3
const RUNS = 12
/** Minimum shipments to predict; with fewer, nothing fades. */
const MIN_SHIPMENTS = 50
/** A half-life must beat no fading by this many standard errors of the difference. */
const MIN_STANDARD_ERRORS = 2
/** Hazards are kept this far from 0 and 1 for the log score; only weights of 0 reach them. */
const MIN_CHANCE = 1e-6

export interface HalfLifeChoice {
  /** Null: nothing fades. */
  days: number | null
  /** Gain in log score over no fading, summed over the shipments predicted; 0 for none. */
  gain: number
  /** Standard error of the gain, taking shipments as independent. */
  stdErr: number
}

/** Observations that began in one period, each with its group. */
interface Run {
  observations: Observation[]
  groups: Group[]
}

/**
 * Chooses how fast the past of a stage fades, by prequential log score: each shipment of the later two thirds
 * is predicted from those that began before its run. The best half-life is used if it beats no fading by two
 * standard errors. Earlier shipments count even if they were not finished by then; that is the same for every
 * half-life.
 *
 * @param presumedLast minimum of the last step.
 * @param chooseWeights the weights, by depth, to predict with.
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

/** The first run only trains. Shipments that began at the same instant are in the same run. */
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

/** The log score of each observation of all runs but the first, predicted from the runs before its own. */
function logScores(
  [training, ...predicted]: Run[],
  counts: FadingCounts,
  { roster: hierarchy, presumedLast, chooseWeights }: FitSettings,
): Float64Array {
  const count = (run: Run | undefined) =>
    run?.observations.forEach((observation, index) => {
      counts.add(observation, run.groups[index] as Group)
    })
  const scores = new Float64Array(predicted.reduce((sum, { groups }) => sum + groups.length, 0))
  let weights: number[] | null = null
  let at = 0
  count(training)
  for (const run of predicted) {
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

/** Returns the log likelihood of an observation. */
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
    // Steps after the last one, and all steps of a shipment that never arrives, have the tail's hazard.
    const seen = Math.min(hasArrived ? steps - 1 : steps, last)
    const beyond = hasArrived ? Math.max(0, steps - 1 - last) : 0
    const stayed = (stays[seen] ?? 0) + beyond * Math.log(1 - tail.hazard)
    return weight * (hasArrived ? stayed + (arrives[steps] ?? Math.log(tail.hazard)) : stayed)
  }
}

/** Log chances, by step, of arriving at it and of not having arrived by its end. */
function computeLogTable(hazard: number[]): { arrives: number[]; stays: number[] } {
  const sure = hazard.map((chance) => Math.min(1 - MIN_CHANCE, Math.max(MIN_CHANCE, chance)))
  let sum = 0
  const stays = sure.map((chance) => {
    sum += Math.log(1 - chance)
    return sum
  })
  return { arrives: sure.map((chance) => Math.log(chance)), stays }
}
