import { scaleLinear } from 'd3-scale'

/** Reach of the strip's axis, hours: time left at its left end, lapsed time at its right. */
export const AXIS_LEFT_HOURS = 14 * 24
export const AXIS_OVER_HOURS = 5 * 24

/** Place of the limit, as a share of the strip's width. */
export const LIMIT_X = 0.74

/** Compresses far times and keeps near ones apart: asinh of the time in days, with its sign. */
export function compressHours(hours: number): number {
  return Math.asinh(hours / 24)
}

/** The axis ends short of the strip's edge, so that a mark on its end has room. */
const AXIS_END_X = 0.97

const scale = scaleLinear()
  .domain([-compressHours(AXIS_LEFT_HOURS), 0, compressHours(AXIS_OVER_HOURS)])
  .range([0, LIMIT_X, AXIS_END_X])
  .clamp(true)

/**
 * The place of hours left (negative: lapsed), as a share of the strip's width from its left end. Times beyond
 * the axis are placed on its ends.
 */
export function toStripX(hoursLeft: number): number {
  return scale(-compressHours(hoursLeft))
}
