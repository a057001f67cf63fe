import { getDayEnd, getDayStart, HOUR } from '@/lib/hold/zone'
import type { SampleForecast } from '@/lib/store/projection/storedForecast'
import { LIMIT_X, toStripX } from './timeLeftScale'

/**
 * When a clock is likely to stop, as outlines over its strip, in a box of 1000 by 100 that stands on its base.
 */
export interface DensityPath {
  /** The part before the limit; null if there is none. */
  kept: string | null
  /** The part past the limit, whose area is the chance to miss it; null if there is none. */
  missed: string | null
}

const BINS = 200
const LIMIT_BIN = Math.round(LIMIT_X * BINS)
/** A stop that never comes is drawn at the right end of the axis, past every time on it. */
const NEVER_FROM_BIN = Math.round(0.94 * BINS)
/** A day's chance is spread over these hours of the laboratory's day. This is only for the picture. */
const [DAY_BEGINS, DAY_ENDS] = [8, 17]
const SLICES = 24

/**
 * The density of a forecast on the strip of its clock, due at `dueAt`, at `now` (ms UTC); its days are those of
 * `zone`. Area is chance: the share of the area past the limit is the risk.
 */
export function computeDensityPath(
  { risk, days }: Pick<SampleForecast, 'risk' | 'days'>,
  dueAt: number,
  zone: string,
  now: number,
): DensityPath {
  const mass = new Float64Array(BINS)
  const spread = (fromAt: number, toAt: number, chance: number) => {
    for (let slice = 0; slice < SLICES; slice += 1) {
      const at = fromAt + ((slice + 0.5) / SLICES) * (toAt - fromAt)
      const bin = Math.floor(toStripX((dueAt - at) / HOUR) * BINS)
      const side = at <= dueAt ? Math.min(bin, LIMIT_BIN - 1) : Math.max(bin, LIMIT_BIN)
      mass[Math.min(side, BINS - 1)] = (mass[Math.min(side, BINS - 1)] ?? 0) + chance / SLICES
    }
  }
  // The day of the due is split so that all before the due sums to the chance to be in time.
  let inTime = 1 - risk
  for (const { day, chance } of days) {
    const [firstAt, lastAt] = [getDayStart(day, zone), getDayEnd(day, zone)]
    const opensAt = Math.min(lastAt, Math.max(firstAt + DAY_BEGINS * HOUR, now < lastAt ? now : firstAt))
    const closesAt = Math.min(lastAt, Math.max(firstAt + DAY_ENDS * HOUR, opensAt + HOUR))
    const before = lastAt <= dueAt ? chance : firstAt > dueAt ? 0 : Math.min(chance, Math.max(0, inTime))
    inTime -= before
    if (before > 0) spread(opensAt, Math.min(closesAt, Math.max(opensAt, dueAt)), before)
    if (chance > before)
      spread(Math.max(opensAt, dueAt + 1), Math.max(closesAt, dueAt + HOUR), chance - before)
  }
  const never = Math.max(0, 1 - days.reduce((sum, { chance }) => sum + chance, 0))
  for (let bin = NEVER_FROM_BIN; bin < BINS; bin += 1)
    mass[bin] = (mass[bin] ?? 0) + never / (BINS - NEVER_FROM_BIN)
  const kept = smooth(mass.slice(0, LIMIT_BIN))
  const missed = smooth(mass.slice(LIMIT_BIN))
  const highest = Math.max(...kept, ...missed)
  if (!(highest > 0)) return { kept: null, missed: null }
  return { kept: renderOutline(kept, 0, highest), missed: renderOutline(missed, LIMIT_BIN, highest) }
}

/** Rounds corners and keeps the sum, without moving anything over the ends. */
function smooth(mass: Float64Array): Float64Array {
  let current = mass
  for (let pass = 0; pass < 3; pass += 1) {
    const at = (index: number) => current[Math.min(Math.max(index, 0), current.length - 1)] as number
    current = current.map((value, index) => (at(index - 1) + 2 * value + at(index + 1)) / 4)
  }
  return current
}

/** Parts lower than this share of the highest are not drawn. */
const VISIBLE = 0.004

function renderOutline(mass: Float64Array, firstBin: number, highest: number): string | null {
  const first = mass.findIndex((value) => value > VISIBLE * highest)
  if (first < 0) return null
  const last = mass.findLastIndex((value) => value > VISIBLE * highest)
  const x = (bin: number) => (((firstBin + bin) / BINS) * 1000).toFixed(1)
  const points = [`M${x(first)} 100`]
  for (let bin = first; bin <= last; bin += 1)
    points.push(`L${x(bin + 0.5)} ${(100 - (100 * (mass[bin] as number)) / highest).toFixed(1)}`)
  return `${points.join('')}L${x(last + 1)} 100Z`
}
