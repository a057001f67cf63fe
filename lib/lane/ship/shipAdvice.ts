import type { ShipWindow, ShipWindows } from './shipWindow'

/** What to recommend among ship windows. */
export interface ShipAdvice {
  /** The first of the best; null if no chance is known. */
  best: ShipWindow | null
  /** Its chance to miss is below the threshold of tight. */
  isBestSafe: boolean
  /** The first safe one on an earlier day than the best. */
  sooner: ShipWindow | null
  /** The last safe one before a day on which none is; null if none is safe, or every day is. */
  lastSafe: ShipWindow | null
  /** Every day with a pickup has a safe one. */
  isSafeThroughout: boolean
  /** What to avoid in the next seven days: a day on which none is safe, or else one service on a day. */
  avoid: { what: 'day' | 'service'; window: ShipWindow } | null
  /** The next pickup, whatever its chance; null if none is known. */
  next: ShipWindow | null
}

const WEEK = 7

/** `tight` is the chance to miss from which a window is not safe; `today` is the local day of the plant. */
export function adviseShipping(
  { windows, best, lastSafe }: ShipWindows,
  tight: number,
  today: number,
): ShipAdvice {
  const isSafe = ({ chance }: ShipWindow) => chance !== null && 1 - chance < tight
  const days = [...new Set(windows.map(({ day }) => day))]
  const isDaySafe = (day: number) => windows.some((window) => window.day === day && isSafe(window))
  const isSafeThroughout = days.length > 0 && days.every(isDaySafe)
  const sooner = windows.find((window) => isSafe(window) && best !== null && window.day < best.day)
  return {
    best,
    isBestSafe: best !== null && isSafe(best),
    sooner: sooner ?? null,
    lastSafe: isSafeThroughout ? null : lastSafe,
    isSafeThroughout,
    avoid: best && isSafe(best) ? findAvoid(windows, best, today, isSafe) : null,
    next: windows.reduce<ShipWindow | null>(
      (first, one) => (first === null || one.handOverAt < first.handOverAt ? one : first),
      null,
    ),
  }
}

function findAvoid(
  windows: readonly ShipWindow[],
  best: ShipWindow,
  today: number,
  isSafe: (window: ShipWindow) => boolean,
): ShipAdvice['avoid'] {
  const known = windows.filter(({ day, chance }) => day < today + WEEK && chance !== null)
  const better = (a: ShipWindow, b: ShipWindow) => ((b.chance ?? 0) > (a.chance ?? 0) ? b : a)
  const worse = (a: ShipWindow, b: ShipWindow) => ((b.chance ?? 0) < (a.chance ?? 0) ? b : a)
  const bestOfDays = [...new Set(known.map(({ day }) => day))]
    .filter((day) => day !== best.day)
    .map((day) => known.filter((window) => window.day === day).reduce(better))
  const unsafeDays = bestOfDays.filter((window) => !isSafe(window))
  if (unsafeDays.length > 0) return { what: 'day', window: unsafeDays.reduce(worse) }
  const unsafe = known.filter((window) => window.service !== best.service && !isSafe(window))
  return unsafe.length > 0 ? { what: 'service', window: unsafe.reduce(worse) } : null
}
