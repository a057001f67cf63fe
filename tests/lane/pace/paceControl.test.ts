import { describe, expect, test } from 'vitest'
import { computeControlChart } from '@/lib/lane/pace/controlChart'
import { computePaceControl } from '@/lib/lane/pace/paceControl'
import { drawsFrom } from '../chance'
import { arrival, DAY, FIRST_AT, LANES, shipments } from '../evenLanes'

const zone = 'UTC'
const usual = LANES['nearly always two days'] as number[]

describe('the control of a lane', () => {
  test('that never changed has limits from all of it', () => {
    const even = shipments(drawsFrom(30), usual, 100)
    const { pace, chart } = computePaceControl(even, { zone })
    expect(pace.change).toBeNull()
    expect(chart).toEqual(computeControlChart(even, { zone }))
    expect(chart?.reference.consignments).toBe(100)
  })

  test('that became slower has limits from before, and later points break them', () => {
    const slower = shipments(drawsFrom(31), usual, 140, { shift: 2, from: 70 })
    const { pace, chart } = computePaceControl(slower, { zone })
    expect(pace.change?.direction).toBe('slower')
    const since = pace.change?.sinceDay as number
    expect(chart?.reference.lastDay).toBe(since - 1)
    expect(chart?.reference.medianSteps).toBe(2)
    const after = chart?.points.filter(({ firstDay }) => firstDay >= since) ?? []
    expect(after.length).toBeGreaterThan(5)
    expect(after.every(({ score, medianSteps }) => score > 1 && medianSteps === 4)).toBe(true)
    expect(after.every(({ breaks }) => breaks.length > 0)).toBe(true)
  })

  test('that became slower and recovered has limits from the slow period', () => {
    const draws = drawsFrom(32)
    const all = Array.from({ length: 240 }, (_, index) =>
      arrival(FIRST_AT + index * DAY, draws.step(usual) + (index >= 80 && index < 160 ? 3 : 0)),
    )
    const { pace, chart } = computePaceControl(all, { zone })
    expect(pace.changes.map(({ direction }) => direction)).toEqual(['slower', 'faster'])
    expect(pace.changes[0]?.shiftDays).toBeGreaterThan(2.5)
    expect(pace.changes[1]?.shiftDays).toBeLessThan(-2.5)
    expect(chart?.reference.medianSteps).toBe(5)
  })

  test('without observations has no chart and too few arrivals', () => {
    expect(computePaceControl([], { zone })).toMatchObject({
      chart: null,
      pace: { change: null, hasTooFewArrivals: true },
    })
  })
})
