import { scaleLinear } from 'd3-scale'

/** How far the strip's axis reaches: time left on its left end, lapsed time on its right, hours. */
export const AXIS_LEFT_HOURS = 14 * 24
export const AXIS_OVER_HOURS = 5 * 24

/** Where the upright stands, as a share of the strip's width. */
export const LIMIT_X = 0.74

/** Compresses far times and keeps near ones apart: asinh of the hours in days. It keeps the sign. */
export function compressHours(hours: number): number {
  return Math.asinh(hours / 24)
}

/** The right end of the axis stays clear of the strip's edge, so that a mark on it has room. */
const AXIS_END_X = 0.97

const scale = scaleLinear()
  .domain([-compressHours(AXIS_LEFT_HOURS), 0, compressHours(AXIS_OVER_HOURS)])
  .range([0, LIMIT_X, AXIS_END_X])
  .clamp(true)

/**
 * Where so many hours left (negative: lapsed) lie on the strip, as a share of its width from its left end. Times
 * beyond the axis lie on its ends.
 */
export function toStripX(hoursLeft: number): number {
  return scale(-compressHours(hoursLeft))
}
