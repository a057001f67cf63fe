/**
 * Mean range of two values from a normal distribution with deviation 1 (2 / sqrt(pi)), to the three decimals of
 * published tables.
 */
const MEAN_RANGE_OF_TWO = 1.128

export interface IndividualsChart {
  /** The mean of the values. */
  centre: number
  /** Mean distance between one value and the next. */
  meanMovingRange: number
  /** Standard deviation by moving ranges, so that a slow drift does not inflate it. */
  sigma: number
  lower: number
  upper: number
  /** Each value's distance from the centre in sigmas; all 0 if no value moves. */
  scores: number[]
}

/**
 * The chart of individual values with limits from their moving ranges: centre -/+ 3 x mean moving range /
 * 1.128, in the unit of `values`, which are in time order. Three sigmas mean one false alarm in 370 only if
 * values are about normal: never use it for transit in days (see `controlChart.ts`).
 *
 * @throws RangeError for fewer than two values, or one that is not finite.
 *
 * Source: NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.2.
 */
export function individualsChart(values: readonly number[]): IndividualsChart {
  if (values.length < 2) throw new RangeError('A moving range needs at least two values')
  if (!values.every(Number.isFinite)) throw new RangeError('Every value on a chart is a finite number')
  const centre = values.reduce((sum, value) => sum + value, 0) / values.length
  let ranges = 0
  for (let index = 1; index < values.length; index += 1)
    ranges += Math.abs((values[index] as number) - (values[index - 1] as number))
  const meanMovingRange = ranges / (values.length - 1)
  const sigma = meanMovingRange / MEAN_RANGE_OF_TWO
  return {
    centre,
    meanMovingRange,
    sigma,
    lower: centre - 3 * sigma,
    upper: centre + 3 * sigma,
    scores: values.map((value) => (sigma === 0 ? 0 : (value - centre) / sigma)),
  }
}
