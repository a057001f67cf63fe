import type { ShipWindow, ShipWindows } from './shipWindow'

/** What is to be said first of ship windows. */
export interface ShipAdvice {
  /** The first of the best; null where no chance can be told. */
  best: ShipWindow | null
  /** Whether the best is safe: its chance to miss is below tight. */
  isBestSafe: boolean
  /** The first that is safe, where that is on an earlier day than the best. */
  sooner: ShipWindow | null
  /** The last that is safe before a day on which none is; null where none is safe, or every day is. */
  lastSafe: ShipWindow | null
  /** Every day with a pickup has a safe one. */
  isSafeThroughout: boolean
  /** What of the next seven days rather not: a day on which none is safe, or else one service on a day. */
  avoid: { what: 'day' | 'service'; window: ShipWindow } | null
  /** The next pickup, whatever its chance; null where none is known. */
  next: ShipWindow | null
}

const WEEK = 7

/** What to say of windows that were worked out as of local day `today`. `tight`: the chance to miss from which none is safe. */
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
  const told = windows.filter(({ day, chance }) => day < today + WEEK && chance !== null)
  const better = (a: ShipWindow, b: ShipWindow) => ((b.chance ?? 0) > (a.chance ?? 0) ? b : a)
  const worse = (a: ShipWindow, b: ShipWindow) => ((b.chance ?? 0) < (a.chance ?? 0) ? b : a)
  const bestOfDays = [...new Set(told.map(({ day }) => day))]
    .filter((day) => day !== best.day)
    .map((day) => told.filter((window) => window.day === day).reduce(better))
  const unsafeDays = bestOfDays.filter((window) => !isSafe(window))
  if (unsafeDays.length > 0) return { what: 'day', window: unsafeDays.reduce(worse) }
  const unsafe = told.filter((window) => window.service !== best.service && !isSafe(window))
  return unsafe.length > 0 ? { what: 'service', window: unsafe.reduce(worse) } : null
}
