import jStat from 'jstat'
import type { FadingCounts } from './fadingCounts'
import type { GroupHierarchy } from './groupHierarchy'
import { Shrinkage } from './shrinkage'
import { EPSILON } from './stepCounter'

/** Bounds of the shrinkage to the wider group, in shipments. */
const MIN_WEIGHT = 0.5
const MAX_WEIGHT = 1000
/** If there is nothing to fit it to. */
const DEFAULT_WEIGHT = 10

/** Steps of groups with shipments at risk, the hazard that each is shrunk to, and the number of groups. */
interface Cells {
  groups: number
  arrived: number[]
  atRisk: number[]
  prior: number[]
}

/**
 * Fits the weights of the pool and of the groups at each depth below it by the marginal likelihood of the
 * Beta-binomial: each group's hazards are drawn around those of the wider group without it. From the pool
 * inwards.
 *
 * The steps of a group below the pool deviate together, so all of them count as one witness, and few groups say
 * little about how groups differ. There the prior of the share that one own shipment has, 1 / (1 + w), is
 * uniform on 0 to 1. With the likelihood of all steps alone, simulated lanes were shrunk too far.
 *
 * @param last the last step of the counts.
 */
export function fitWeights(counts: FadingCounts, hierarchy: GroupHierarchy, last: number): number[] {
  const weights: number[] = []
  const shrinkage = new Shrinkage(counts, hierarchy, last, weights)
  const poolCells = collectPoolCells(shrinkage, hierarchy)
  weights.push(findLikeliestWeight(poolCells.atRisk.length, (weight) => logLikelihood(poolCells, weight)))
  for (let depth = 1; depth <= hierarchy.depth; depth += 1) {
    const cells = collectCells(depth, shrinkage, hierarchy)
    weights.push(findLikeliestWeight(cells.atRisk.length, (weight) => logPosterior(cells, weight)))
  }
  return weights
}

/** Without the tail, in which the pool's steps are held to one hazard. */
function collectPoolCells(shrinkage: Shrinkage, { pool }: GroupHierarchy): Cells {
  const cells: Cells = { groups: 1, arrived: [], atRisk: [], prior: [] }
  const { tailFrom, overall } = shrinkage.baseline
  const { arrived, atRisk } = shrinkage.getCounts(pool)
  for (let step = 0; step < tailFrom; step += 1)
    addCell(cells, arrived[step] as number, atRisk[step] as number, overall.hazard)
  return cells
}

function collectCells(depth: number, shrinkage: Shrinkage, { groups }: GroupHierarchy): Cells {
  const cells: Cells = { groups: 0, arrived: [], atRisk: [], prior: [] }
  for (const group of groups) {
    if (group.depth !== depth || !group.wider) continue
    const { arrived, atRisk } = shrinkage.getCounts(group)
    const { hazard } = shrinkage.estimateWithout(group, group.wider)
    if ((atRisk[0] as number) > EPSILON) cells.groups += 1
    for (let step = 0; step < atRisk.length && (atRisk[step] as number) > EPSILON; step += 1)
      addCell(cells, arrived[step] as number, atRisk[step] as number, hazard[step] as number)
  }
  return cells
}

function addCell(cells: Cells, arrived: number, atRisk: number, prior: number): void {
  cells.arrived.push(arrived)
  cells.atRisk.push(Math.max(arrived, atRisk))
  cells.prior.push(prior)
}

/** Log likelihood of a weight, up to a constant. */
function logLikelihood({ arrived, atRisk, prior }: Cells, weight: number): number {
  let sum = 0
  for (let cell = 0; cell < atRisk.length; cell += 1) {
    const exposed = atRisk[cell] as number
    const came = arrived[cell] as number
    const alpha = weight * (prior[cell] as number)
    sum +=
      logRisingFactorial(alpha, came) +
      logRisingFactorial(weight - alpha, exposed - came) -
      logRisingFactorial(weight, exposed)
  }
  return sum
}

/** Up to this many factors, multiplication is cheaper than the gamma function. */
const MAX_FACTORS = 16

/** log(gamma(x + count) / gamma(x)); for a whole count this is log(x (x + 1) ... (x + count - 1)). */
function logRisingFactorial(x: number, count: number): number {
  if (count > MAX_FACTORS || !Number.isInteger(count)) return jStat.gammaln(x + count) - jStat.gammaln(x)
  let product = 1
  for (let factor = 0; factor < count; factor += 1) product *= x + factor
  return Math.log(product)
}

/** Log posterior of a weight below the pool, up to a constant. */
function logPosterior(cells: Cells, weight: number): number {
  const steps = cells.atRisk.length / cells.groups
  return logLikelihood(cells, weight) / steps + Math.log(weight) - 2 * Math.log(1 + weight)
}

const GRID = 10
const GOLDEN = (Math.sqrt(5) - 1) / 2
/** Relative precision of a weight. */
const PRECISION = 0.01

/** Searches a grid of log weights, then refines by golden section between the neighbours. */
function findLikeliestWeight(cells: number, likelihood: (weight: number) => number): number {
  if (cells === 0) return DEFAULT_WEIGHT
  const lowest = Math.log(MIN_WEIGHT)
  const width = (Math.log(MAX_WEIGHT) - lowest) / GRID
  const at = (logWeight: number) => likelihood(Math.exp(logWeight))
  const scores = Array.from({ length: GRID + 1 }, (_, index) => at(lowest + index * width))
  const best = scores.indexOf(Math.max(...scores))
  let low = lowest + Math.max(0, best - 1) * width
  let high = lowest + Math.min(GRID, best + 1) * width
  let [left, right] = [high - GOLDEN * (high - low), low + GOLDEN * (high - low)]
  let [atLeft, atRight] = [at(left), at(right)]
  while (high - low > PRECISION) {
    if (atLeft >= atRight) {
      ;[high, right, atRight] = [right, left, atLeft]
      left = high - GOLDEN * (high - low)
      atLeft = at(left)
    } else {
      ;[low, left, atLeft] = [left, right, atRight]
      right = low + GOLDEN * (high - low)
      atRight = at(right)
    }
  }
  const edges = [lowest, lowest + GRID * width, (low + high) / 2]
  return Math.exp(edges.reduce((one, other) => (at(other) > at(one) ? other : one)))
}
