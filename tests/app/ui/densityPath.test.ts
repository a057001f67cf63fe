import { expect, test } from 'vitest'
import { computeDensityPath } from '@/app/ui/densityPath'
import { LIMIT_X } from '@/app/ui/timeLeftScale'
import { parseIsoDate } from '@/lib/hold/zone'

const day = (text: string) => parseIsoDate(text) as number
const ZONE = 'America/New_York'

/** The area under an outline whose points stand on a base at 100. */
function computeArea(path: string | null): number {
  if (path === null) return 0
  const points = [...path.matchAll(/([\d.]+) ([\d.]+)/g)].map(([, x, y]) => [Number(x), 100 - Number(y)])
  return points.slice(1).reduce((sum, [x, height], index) => {
    const [before, was] = points[index] as [number, number]
    return sum + (((x as number) - before) * ((height as number) + was)) / 2
  }, 0)
}

/** Every x of an outline, as shares of the strip's width. */
const listPlaces = (path: string | null) =>
  [...(path ?? '').matchAll(/([\d.]+) [\d.]+/g)].map(([, x]) => Number(x) / 1000)

const now = Date.parse('2026-11-02T15:00:00Z')
const dueAt = Date.parse('2026-11-05T17:00:00Z')

test('the share of the area past the limit is the risk', () => {
  const path = computeDensityPath(
    {
      risk: 0.3,
      days: [
        { day: day('2026-11-04'), chance: 0.5 },
        { day: day('2026-11-05'), chance: 0.3 },
        { day: day('2026-11-06'), chance: 0.18 },
      ],
    },
    dueAt,
    ZONE,
    now,
  )
  const [kept, missed] = [computeArea(path.kept), computeArea(path.missed)]
  expect(missed / (kept + missed)).toBeCloseTo(0.3, 1)
  expect(Math.max(...listPlaces(path.kept))).toBeLessThanOrEqual(LIMIT_X + 1e-9)
  expect(Math.min(...listPlaces(path.missed))).toBeGreaterThanOrEqual(LIMIT_X - 1e-9)
})

test('without risk nothing is past the limit, and without a chance to keep it nothing is before it', () => {
  const early = computeDensityPath(
    { risk: 0, days: [{ day: day('2026-11-04'), chance: 1 }] },
    dueAt,
    ZONE,
    now,
  )
  expect(early.kept).not.toBeNull()
  expect(early.missed).toBeNull()
  const late = computeDensityPath(
    { risk: 1, days: [{ day: day('2026-11-09'), chance: 1 }] },
    dueAt,
    ZONE,
    now,
  )
  expect(late.kept).toBeNull()
  expect(late.missed).not.toBeNull()
})

test('today’s chance is drawn from now on', () => {
  const path = computeDensityPath(
    { risk: 0, days: [{ day: day('2026-11-02'), chance: 1 }] },
    dueAt,
    ZONE,
    now,
  )
  // 74 hours are left: the hill begins at the ring, but for three of 200 steps of smoothing.
  const ring = LIMIT_X * (1 - Math.asinh(74 / 24) / Math.asinh(14))
  expect(Math.min(...listPlaces(path.kept))).toBeGreaterThan(ring - 0.016)
})
