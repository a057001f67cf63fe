import { describe, expect, it } from 'vitest'
import { drawUsual } from '@/tests/setup/drawUsual'
import { assessDemo, filterFlagged, getStanding } from './assessDemo'

/** Unusual instants: just after a clock change, in a season of closed days, at night, at a weekend. */
const NOWS: [name: string, now: string][] = [
  ['minutes after clocks went back in New York', '2026-11-01T06:03:00Z'],
  ['between the years', '2026-12-29T21:30:00Z'],
  ['on a Sunday in summer, with milliseconds', '2026-07-05T03:17:21.345Z'],
  ['minutes after clocks went back in Europe', '2026-10-25T01:04:00Z'],
  ['minutes after clocks went forward in Europe', '2027-03-28T01:02:00Z'],
  ['on a leap day', '2028-02-29T12:00:00Z'],
]

describe('the demo at another now', () => {
  it.each(drawUsual(NOWS, 1))('holds its promises %s', (_, nowText) => {
    const demo = assessDemo(nowText, 7)
    expect(demo.refusals).toEqual([])
    expect(demo.samples.length).toBeGreaterThan(5_500)
    expect(demo.open.length).toBeGreaterThanOrEqual(140)
    expect(demo.open.length).toBeLessThanOrEqual(165)
    const standings = demo.open.map((sample) => getStanding(demo, sample))
    expect(new Set(standings)).toEqual(new Set(['sound', 'tight', 'at risk', 'lapsed']))
    const pressing = standings.filter((standing) => standing === 'lapsed' || standing === 'at risk')
    expect(pressing.length).toBeGreaterThanOrEqual(5)
    expect(pressing.length).toBeLessThanOrEqual(18)
    expect(demo.events.filter(({ earliestAt }) => earliestAt > demo.now)).toHaveLength(1)
    expect(filterFlagged(demo.open, 'ahead of now')).toHaveLength(1)
    expect(demo.unplaced).toHaveLength(8)
    expect(filterFlagged(demo.samples, 'loop of corrections')).toHaveLength(2)
  })
})
