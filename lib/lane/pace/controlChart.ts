import { getWeekday, toLocalDay } from '@/lib/hold/zone'
import type { Observation } from '../model/observation'
import { StepCounter } from '../model/stepCounter'
import { GroupScore } from './groupScore'
import { individualsChart } from './individuals'
import { buildPaceScale, computeReferenceHazards } from './paceScale'
import { findRuleBreaks, ROUTINE_RULES, type RunRule } from './runRules'

/** Weeks with fewer shipments are joined to the next. */
const MIN_PER_POINT = 5
/** Minimum number of arrivals in the reference of the limits. */
const MIN_ARRIVALS = 20
/** Minimum number of points to estimate from moving ranges how much weeks differ. */
const MIN_POINTS = 10

export interface ChartPoint {
  /** First and last local day (day numbers) of its week or weeks, Monday to Sunday. */
  firstDay: number
  lastDay: number
  /** Shipments dispatched then (a consignment is one), and those of them under way. */
  consignments: number
  underWay: number
  /** Median in steps (open days); null if too many are under way. */
  medianSteps: number | null
  /** Deviations from the centre, above 0 slower. Limits and rules apply to it. */
  score: number
  /** Rules whose break ends at or continues past this point. */
  breaks: RunRule[]
}

export interface ControlChart {
  points: ChartPoint[]
  /** In the unit of the scores; the centre is the reference's, 0. */
  centre: number
  lower: number
  upper: number
  /** Weeks differ by more than chance makes shipments differ, so the limits are wider. */
  isWidened: boolean
  /** The rules that were tested. */
  rules: readonly RunRule[]
  /** The data behind the limits: first and last local day of dispatch, shipments, and their median in steps. */
  reference: { firstDay: number; lastDay: number; consignments: number; medianSteps: number | null }
}

/**
 * The control chart of a lane or another stage, one point a week; null if fewer than 20 of the reference have
 * arrived. Days of dispatch are counted in `zone`. The default `reference` is all observations; pass those
 * before a change of pace, or the change is averaged into the limits.
 *
 * A point is the sum of its shipments' scores (`PaceScale`, which also scores those under way) placed in the
 * exact distribution of such a sum (`GroupScore`). Weeks with fewer than five shipments are joined, or with
 * more if most shipments take the same days, because run rules need enough different values. If even 30 are too
 * few, only the limits are tested.
 *
 * Days themselves do not work: in simulations of four unchanging lanes, single transits in days went beyond
 * three deviations at one point in 10 to 35, and weekly medians at one in 17 to 107, instead of one in 370;
 * these scores did at one in 370 to 830. The four routine rules raise a false alarm at one point in 75 to 170
 * with these scores, and at one in 2 to 29 with days.
 *
 * Limits are 3 deviations, one false alarm in 370 points. If the moving ranges of ten or more points show a
 * deviation above 1 by more than two of its errors (variance 0.826 / ranges: Cryer and Ryan 1990), weeks share
 * troubles that single shipments do not show, and limits and scores use that deviation. The chart is a screen,
 * not a verdict.
 */
export function computeControlChart(
  observations: readonly Observation[],
  options: { zone: string; rules?: readonly RunRule[]; reference?: readonly Observation[] },
): ControlChart | null {
  const { zone } = options
  const base = filterObserved(options.reference ?? observations)
  const counter = countSteps(base)
  if (counter.totalArrived < MIN_ARRIVALS) return null
  const groups = new GroupScore(
    buildPaceScale(computeReferenceHazards(counter.counts(counter.lastArrival() + 1, 1))),
  )
  const leastInPoint = groups.findMinCount(MIN_PER_POINT)
  const rules = (options.rules ?? ROUTINE_RULES).filter(
    (rule) => leastInPoint !== null || rule === 'beyond the limits',
  )
  const weeks = joinWeeks(filterObserved(observations), zone, leastInPoint ?? MIN_PER_POINT)
  const raw = weeks.map(({ members }) => groups.score(members))
  const deviation = estimateWeekDeviation(raw)
  const scores = raw.map((score) => score / deviation)
  const breaks = findRuleBreaks(scores, rules)
  const days = base.map(({ startedAt }) => toLocalDay(startedAt, zone))
  return {
    points: weeks.map(({ firstDay, lastDay, members }, index) => ({
      firstDay,
      lastDay,
      consignments: sumWeights(members),
      underWay: sumWeights(members.filter(({ hasArrived }) => !hasArrived)),
      medianSteps: computeMedianSteps(members),
      score: raw[index] as number,
      breaks: rules.filter((rule) =>
        breaks.some(({ rule: broken, first, last }) => broken === rule && first <= index && index <= last),
      ),
    })),
    centre: 0,
    lower: -3 * deviation,
    upper: 3 * deviation,
    isWidened: deviation > 1,
    rules,
    reference: {
      firstDay: days.reduce((first, day) => Math.min(first, day), Number.POSITIVE_INFINITY),
      lastDay: days.reduce((last, day) => Math.max(last, day), Number.NEGATIVE_INFINITY),
      consignments: sumWeights(base),
      medianSteps: computeMedianSteps(base),
    },
  }
}

const filterObserved = (observations: readonly Observation[]) =>
  observations.filter(({ steps }) => steps >= 0)
const sumWeights = (members: readonly Observation[]) => members.reduce((sum, { weight }) => sum + weight, 0)

interface Weeks {
  firstDay: number
  lastDay: number
  members: Observation[]
}

/** By week of dispatch from Monday, each joined to the next until it holds enough; the last may hold fewer. */
function joinWeeks(observations: readonly Observation[], zone: string, least: number): Weeks[] {
  const byMonday = new Map<number, Observation[]>()
  for (const observation of observations) {
    const day = toLocalDay(observation.startedAt, zone)
    const monday = day - ((getWeekday(day) + 6) % 7)
    const week = byMonday.get(monday)
    if (week) week.push(observation)
    else byMonday.set(monday, [observation])
  }
  const joined: Weeks[] = []
  let gathering: Weeks | null = null
  for (const [monday, members] of [...byMonday].sort(([a], [b]) => a - b)) {
    if (!gathering) {
      gathering = { firstDay: monday, lastDay: monday + 6, members: [] }
      joined.push(gathering)
    }
    gathering.members.push(...members)
    gathering.lastDay = monday + 6
    // A sum of thirds falls short of a whole by rounding.
    if (sumWeights(gathering.members) > least - 1e-9) gathering = null
  }
  return joined
}

/** By the product-limit estimator. */
function computeMedianSteps(members: readonly Observation[]): number | null {
  const counter = countSteps(members)
  const { arrived, atRisk } = counter.counts(counter.lastArrival(), 1)
  let notYet = 1
  for (const [step, count] of arrived.entries()) {
    if (count > 0) notYet *= 1 - count / (atRisk[step] as number)
    if (notYet <= 0.5 + 1e-9) return step
  }
  return null
}

function countSteps(members: readonly Observation[]): StepCounter {
  const counter = new StepCounter()
  for (const { steps, hasArrived, weight } of members) counter.add(steps, hasArrived, weight, weight)
  return counter
}

/** The deviation of the points by their moving ranges if it is certainly more than 1, else 1. */
function estimateWeekDeviation(scores: readonly number[]): number {
  if (scores.length < MIN_POINTS) return 1
  const { sigma } = individualsChart(scores)
  return sigma > 1 + 2 * Math.sqrt(0.826 / (scores.length - 1)) ? sigma : 1
}
