import { describe, expect, test } from 'vitest'
import { findLimit, runLength } from '@/lib/lane/pace/cusum'
import { computePace } from '@/lib/lane/pace/pace'
import { buildPaceScale } from '@/lib/lane/pace/paceScale'
import { drawsFrom } from '../chance'
import { arrival, asSeenOn, DAY, FIRST_AT, LANES, shipments } from '../evenLanes'

const FIRST_DAY = Math.floor(FIRST_AT / DAY)
const zone = 'UTC'

describe('how long a sum runs before it signals', () => {
  // A normal distribution cut into narrow cells.
  const values = Array.from({ length: 601 }, (_, index) => -6 + index * 0.02)
  const density = values.map((value) => Math.exp((-value * value) / 2))
  const total = density.reduce((sum, value) => sum + value, 0)
  const chances = density.map((value) => value / total)

  // Source: the textbook values for allowance 1/2: 336 for limit 4 and 930 for limit 5, one side (from memory; Siegmund's
  // formula gives 338 and 931).
  test.each([
    [4, 336],
    [5, 930],
  ])('on normal values, allowance 1/2, limit %d: %d', (limit, length) => {
    const found = runLength(values, chances, { allowance: 0.5, limit })
    expect(Math.abs(found / length - 1)).toBeLessThan(0.02)
  })

  test('the limit found for a length runs for that length', () => {
    const limit = findLimit(values, chances, 0.5, 930)
    expect(Math.abs(limit - 5)).toBeLessThan(0.03)
  })

  test('of scores in whole days is what a simulation of the sum says', () => {
    const { scores, chances } = buildPaceScale([0.1, 0.5, 0.4, 0.3, 0.5])
    const side = { allowance: 0.4, limit: 3 }
    const draws = drawsFrom(54)
    let [runs, steps] = [0, 0]
    for (let sum = 0; runs < 2000; steps += 1) {
      sum = Math.max(0, sum + (scores[draws.step(chances)] as number) - side.allowance)
      if (sum <= side.limit) continue
      runs += 1
      sum = 0
    }
    expect(Math.abs(runLength(scores, chances, side) / (steps / runs) - 1)).toBeLessThan(0.1)
  })
})

describe('the scale', () => {
  const scale = buildPaceScale([0.1, 0.5, 0.4, 0.3, 0.5])
  const mean = (value: (step: number) => number) =>
    scale.chances.reduce((sum, chance, step) => sum + chance * value(step), 0)

  test('has mean 0 and deviation 1 under its reference', () => {
    expect(mean((step) => scale.scores[step] as number)).toBeCloseTo(0, 10)
    expect(mean((step) => (scale.scores[step] as number) ** 2)).toBeCloseTo(1, 1)
  })

  test('keeps the mean at 0 however early it is computed', () => {
    for (const through of [0, 1, 2, 3, 4]) {
      const seen = mean((step) =>
        step <= through ? scale.getScore(step, true) : scale.getScore(through, false),
      )
      expect(seen).toBeCloseTo(0, 10)
    }
  })

  test('rises with every day under way, from 0 on', () => {
    const waiting = [-1, 0, 1, 2, 3, 4, 9].map((steps) => scale.getScore(steps, false))
    expect(waiting[0]).toBe(0)
    for (let index = 1; index < 6; index += 1)
      expect(waiting[index]).toBeGreaterThan(waiting[index - 1] as number)
    expect(scale.getScore(9, false)).toBe(scale.scores.at(-1))
  })
})

describe('on lanes with unchanged pace', () => {
  // One false alarm in 200 shipments, so that a short simulation sees enough of them.
  const stated = 200
  const lanes = 45
  const count = 220
  const rates = Object.entries(LANES).map(([name, chances]) => {
    const draws = drawsFrom(1954)
    let alarms = 0
    for (let lane = 0; lane < lanes; lane += 1)
      alarms += computePace(shipments(draws, chances, count), { zone, falseAlarmInterval: stated }).changes
        .length
    return { name, alarms }
  })
  const expected = (lanes * (count - 20)) / stated

  // The minimum of three witnesses makes them rarer on lanes with few values, where a few late ones would
  // suffice.
  test.each(rates)('$name: no more false alarms than stated, within what chance does to 45', ({ alarms }) => {
    expect(alarms).toBeGreaterThan(0.2 * expected)
    expect(alarms).toBeLessThan(1.4 * expected)
  })

  test('and all of them together not far from it', () => {
    const together = rates.reduce((sum, { alarms }) => sum + alarms, 0) / rates.length
    expect(together).toBeGreaterThan(0.5 * expected)
    expect(together).toBeLessThan(1.15 * expected)
  })
})

describe('a lane that grows a day slower', () => {
  const draws = drawsFrom(12)
  const all = shipments(draws, LANES['nearly always two days'] as number[], 100, { shift: 1, from: 60 })

  test('reports the day, the direction and the size', () => {
    const found = Array.from({ length: 15 }, (_, lane) => {
      const chances = LANES['nearly always two days'] as number[]
      const all = shipments(drawsFrom(200 + lane), chances, 100, { shift: 1, from: 60 })
      return computePace(all, { zone }).changes.find(({ direction }) => direction === 'slower')
    })
    expect(found.every((change) => change?.underWay === 0)).toBe(true)
    const median = (values: number[]) => values.sort((a, b) => a - b)[7] as number
    expect(
      median(found.map((change) => Math.abs((change?.sinceDay as number) - (FIRST_DAY + 60)))),
    ).toBeLessThanOrEqual(3)
    expect(Math.abs(median(found.map((change) => change?.shiftDays as number)) - 1)).toBeLessThan(0.2)
  })

  test('the day is in the zone given', () => {
    const inUtc = computePace(all, { zone })
    const ahead = computePace(all, { zone: 'Pacific/Auckland' })
    expect(ahead.change?.sinceDay).toBe((inUtc.change?.sinceDay as number) + 1)
  })

  test('is detected after a median of at most 12 shipments, checked every day, and not before it began', () => {
    const delays = Array.from({ length: 15 }, (_, lane) => {
      const draws = drawsFrom(100 + lane)
      const all = shipments(draws, LANES['nearly always two days'] as number[], 110, { shift: 1, from: 60 })
      for (let today = 60; today < 110; today += 1)
        if (computePace(asSeenOn(all, today), { zone }).change?.direction === 'slower') return today - 60
      return Number.POSITIVE_INFINITY
    }).sort((a, b) => a - b)
    expect(delays[7]).toBeLessThanOrEqual(12)
    expect(delays[7]).toBeGreaterThanOrEqual(2)
  })

  test('a lane that grows faster says that', () => {
    const faster = shipments(drawsFrom(13), LANES.skewed as number[], 140, { shift: -1, from: 80 })
    const { change } = computePace(faster, { zone })
    expect(change?.direction).toBe('faster')
    expect(change?.shiftDays).toBeLessThan(-0.5)
    expect(change?.shiftDays).toBeGreaterThan(-1.6)
  })
})

describe('a shipment under way', () => {
  const before = shipments(drawsFrom(14), LANES['nearly always two days'] as number[], 60)
  const stuck = shipments(drawsFrom(15), [1], 12, { shift: 90 }).map((one, index) => ({
    ...one,
    startedAt: FIRST_AT + (60 + index) * DAY,
  }))

  test('shows a lane that stands still, though nothing of the slow ones has arrived', () => {
    const { change } = computePace(asSeenOn([...before, ...stuck], 71), { zone })
    expect(change).toMatchObject({ direction: 'slower' })
    expect(change?.consignments).toBe(change?.underWay)
    expect(change?.sinceDay).toBeGreaterThanOrEqual(FIRST_DAY + 58)
  })

  test('is needed for that', () => {
    const arrivals = asSeenOn([...before, ...stuck], 71).filter(({ hasArrived }) => hasArrived)
    expect(computePace(arrivals, { zone }).change).toBeNull()
  })

  test('for less than usual is no change either way', () => {
    expect(computePace(asSeenOn(before, 59), { zone }).change).toBeNull()
  })
})

describe('a lane on which all took the same days', () => {
  const same = shipments(drawsFrom(18), [0, 0, 1], 120)
  const late = (count: number) =>
    Array.from({ length: count }, (_, index) => arrival(FIRST_AT + (120 + index) * DAY, 3))
  test('has not changed its pace by one or two that take a day more', () => {
    for (const count of [0, 1, 2]) expect(computePace([...same, ...late(count)], { zone }).change).toBeNull()
  })
  test('has by three', () => {
    const { change } = computePace([...same, ...late(3)], { zone })
    expect(change).toMatchObject({ direction: 'slower', sinceDay: FIRST_DAY + 120, consignments: 3 })
    expect(change?.shiftDays).toBeCloseTo(1, 2)
  })
})

describe('a lane with few arrivals', () => {
  const few = shipments(drawsFrom(16), LANES.skewed as number[], 25)
  test('has too few arrivals, and says how many it needs', () => {
    expect(computePace(few.slice(0, 19), { zone })).toMatchObject({
      change: null,
      hasTooFewArrivals: true,
      arrivals: 19,
      minArrivals: 20,
    })
    expect(computePace([], { zone })).toMatchObject({ change: null, hasTooFewArrivals: true, arrivals: 0 })
  })
  test('can from the twentieth on', () => {
    expect(computePace(few, { zone })).toMatchObject({ hasTooFewArrivals: false, arrivals: 25 })
  })
  test('counts the samples of a consignment as one', () => {
    const thirds = few.slice(0, 19).flatMap((one) => [1, 2, 3].map(() => ({ ...one, weight: 1 / 3 })))
    expect(computePace(thirds, { zone }).hasTooFewArrivals).toBe(true)
  })
})

test('the order in which observations are given does not matter', () => {
  const all = shipments(drawsFrom(17), LANES.skewed as number[], 120, { shift: 2, from: 60 }).map(
    (one, index) => ({ ...one, startedAt: FIRST_AT + Math.floor(index / 3) * DAY }),
  )
  const turned = computePace([...all].reverse(), { zone })
  const { changes } = computePace(all, { zone })
  expect(turned.changes.map(({ sinceAt, direction }) => [sinceAt, direction])).toEqual(
    changes.map(({ sinceAt, direction }) => [sinceAt, direction]),
  )
  expect(changes.length).toBeGreaterThan(0)
})
