import jStat from 'jstat'
import type { FadingCounts } from './fadingCounts'
import type { GroupHierarchy } from './groupHierarchy'
import { Shrinkage } from './shrinkage'
import { EPSILON } from './stepCounter'

/** How much a record may be pulled to the wider one, in shipments. */
const MIN_WEIGHT = 0.5
const MAX_WEIGHT = 1000
/** Used where no record could tell. */
const DEFAULT_WEIGHT = 10

/** Steps of groups in which somebody was at risk, with the hazard that each is pulled to, and how many groups they are of. */
interface Cells {
  groups: number
  arrived: number[]
  atRisk: number[]
  prior: number[]
}

/**
 * The weights of the pool, and of the groups at each depth below it, that make what was seen likeliest: the marginal
 * likelihood of the Beta-binomial, each group's hazards being drawn around those of the wider one without it. Fitted
 * from the pool inwards.
 *
 * Below the pool, the steps of a group stray together, so all of them count as one witness, and few groups hardly tell
 * how groups differ: there the share that one shipment of its own has, 1 / (1 + w), is thought to be anything from 0 to
 * 1 alike, before they are heard. Left to the likelihood of all steps alone, simulated lanes were pulled too far.
 *
 * @param last the last step of the counts.
 */
export function fitWeights(counts: FadingCounts, hierarchy: GroupHierarchy, last: number): number[] {
  const weights: number[] = []
  const shrinkage = new Shrinkage(counts, hierarchy, last, weights)
  const ofPool = collectPoolCells(shrinkage, hierarchy)
  weights.push(findLikeliestWeight(ofPool.atRisk.length, (weight) => logLikelihood(ofPool, weight)))
  for (let depth = 1; depth <= hierarchy.depth; depth += 1) {
    const cells = collectCells(depth, shrinkage, hierarchy)
    weights.push(findLikeliestWeight(cells.atRisk.length, (weight) => logPosterior(cells, weight)))
  }
  return weights
}

/** The tail is no evidence of how the pool's steps differ: there they are held to be one. */
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

/** Logarithm of the likelihood of all cells, for a weight, up to what does not depend on it. */
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

/** Up to so many factors are multiplied rather than asked of the gamma function, which costs more. */
const MAX_FACTORS = 16

/** The logarithm of gamma(x + count) / gamma(x), which for a whole count is x (x + 1) ... (x + count - 1). */
function logRisingFactorial(x: number, count: number): number {
  if (count > MAX_FACTORS || !Number.isInteger(count)) return jStat.gammaln(x + count) - jStat.gammaln(x)
  let product = 1
  for (let factor = 0; factor < count; factor += 1) product *= x + factor
  return Math.log(product)
}

/** What is thought of a weight below the pool, in its logarithm, up to what does not depend on it. */
function logPosterior(cells: Cells, weight: number): number {
  const steps = cells.atRisk.length / cells.groups
  return logLikelihood(cells, weight) / steps + Math.log(weight) - 2 * Math.log(1 + weight)
}

const GRID = 10
const GOLDEN = (Math.sqrt(5) - 1) / 2
/** Relative precision of a weight. */
const PRECISION = 0.01

/** The likeliest weight on a grid of its logarithm, refined by golden section between the neighbours. */
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
