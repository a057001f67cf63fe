import { describe, expect, test } from 'vitest'
import { computeControlChart } from '@/lib/lane/pace/controlChart'
import { GroupScore } from '@/lib/lane/pace/groupScore'
import { individualsChart } from '@/lib/lane/pace/individuals'
import { buildPaceScale } from '@/lib/lane/pace/paceScale'
import { breaksRule, ROUTINE_RULES, RUN_RULES, type RunRule } from '@/lib/lane/pace/runRules'
import { drawsFrom } from '../chance'
import { arrival, asSeenOn, DAY, FIRST_AT, LANES, shipments } from '../evenLanes'

const toHazards = (chances: readonly number[]) => {
  let notYet = 1
  return chances.map((chance) => {
    const hazard = notYet > 1e-12 ? Math.min(1, chance / notYet) : 1
    notYet -= chance
    return hazard
  })
}
/** The share of points that complete a break of one of the rules. */
function rate(scores: readonly number[], rules: readonly RunRule[]): number {
  const broken = scores.filter((_, index) => {
    const window = scores.slice(Math.max(0, index - 14), index + 1)
    return rules.some((rule) => breaksRule(rule, window))
  })
  return broken.length / scores.length
}

const STATED = 0.0027
const POINTS = 12_000
/** Scores of groups of six on a lane that never changes, with its distribution known. */
function simulateScores(chances: readonly number[], seed: number) {
  const draws = drawsFrom(seed)
  const groups = new GroupScore(buildPaceScale(toHazards(chances)))
  return Array.from({ length: POINTS }, () =>
    groups.score(Array.from({ length: 6 }, () => arrival(0, draws.step(chances)))),
  )
}

describe('false alarms on lanes that never change', () => {
  for (const [name, chances] of Object.entries(LANES)) {
    test(`${name}: the scores of weeks stay near the rates of the rules`, () => {
      const scores = simulateScores(chances, 6)
      // Beyond three deviations at most twice the stated rate, because half of the outermost value's chance
      // counts.
      expect(rate(scores, ['beyond the limits'])).toBeLessThan(2 * STATED)
      expect(rate(scores, ROUTINE_RULES)).toBeLessThan(0.018)
      expect(rate(scores, RUN_RULES.slice(0, 6))).toBeLessThan(0.03)
    })
  }

  test('and are there to be seen: near one in 370, and one in a hundred', () => {
    const scores = [
      ...simulateScores(LANES.skewed as number[], 7),
      ...simulateScores(LANES['long tail'] as number[], 8),
    ]
    expect(rate(scores, ['beyond the limits'])).toBeGreaterThan(STATED / 2)
    expect(rate(scores, ROUTINE_RULES)).toBeGreaterThan(0.008)
  })

  test('days charted directly raise many times as many false alarms, all slow', () => {
    for (const name of ['skewed', 'long tail']) {
      const draws = drawsFrom(9)
      const days = Array.from({ length: POINTS }, () => draws.step(LANES[name] as number[]))
      const { scores } = individualsChart(days)
      expect(rate(scores, ['beyond the limits'])).toBeGreaterThan(4 * STATED)
      expect(scores.every((score) => score > -3)).toBe(true)
    }
  })

  test('so do weekly medians', () => {
    for (const chances of Object.values(LANES)) {
      const draws = drawsFrom(10)
      const medians = Array.from({ length: POINTS }, () => {
        const days = Array.from({ length: 5 }, () => draws.step(chances))
        return days.sort((a, b) => a - b)[2] as number
      })
      expect(rate(individualsChart(medians).scores, ['beyond the limits'])).toBeGreaterThan(2.5 * STATED)
    }
  })

  test('limits from the charted shipments themselves keep to it, too', () => {
    const draws = drawsFrom(20)
    const scores = Array.from({ length: 60 }, () => {
      const chart = computeControlChart(shipments(draws, LANES.skewed as number[], 350), { zone: 'UTC' })
      return chart?.points.map(({ score }) => score / (chart.upper / 3)) ?? []
    })
    const points = scores.flat()
    expect(points).toHaveLength(60 * 50)
    expect(points.filter((score) => Math.abs(score) > 3).length / points.length).toBeLessThan(2 * STATED)
    const alarms = scores.map((lane) => rate(lane, ROUTINE_RULES))
    expect(alarms.reduce((sum, share) => sum + share, 0) / 60).toBeLessThan(0.018)
  })
})

test('the place of a sum agrees with enumeration', () => {
  const chances = [0.1, 0.5, 0.25, 0.15]
  const scale = buildPaceScale(toHazards(chances))
  const groups = new GroupScore(scale)
  const ways = [0, 1, 2, 3].flatMap((a) =>
    [0, 1, 2, 3].flatMap((b) => [0, 1, 2, 3].map((c) => ({ steps: [a, b, c] }))),
  )
  const addScores = (steps: number[]) =>
    steps.reduce((sum, step) => sum + Math.round((scale.scores[step] as number) * 32), 0)
  const computeChance = (steps: number[]) =>
    steps.reduce((product, step) => product * (chances[step] as number), 1)
  const scores = ways.map(({ steps }) => groups.score(steps.map((step) => arrival(0, step))))
  const places = ways.map(({ steps: own }) =>
    ways.reduce((place, { steps }) => {
      const [sum, at] = [addScores(steps), addScores(own)]
      return place + (sum < at ? computeChance(steps) : sum === at ? computeChance(steps) / 2 : 0)
    }, 0),
  )
  // The normal distribution by summing its density, independently of the quantile function.
  const normalShare = (score: number) => {
    const step = 1 / 2000
    let sum = 0
    for (let at = -8 + step / 2; at < score; at += step) sum += Math.exp((-at * at) / 2) * step
    return sum / Math.sqrt(2 * Math.PI)
  }
  for (const [index, score] of scores.entries())
    expect(normalShare(score)).toBeCloseTo(places[index] as number, 3)
})

describe('the chart of a lane', () => {
  const draws = drawsFrom(11)
  const even = shipments(draws, LANES.skewed as number[], 140)

  test('has a point per week of dispatch, Monday to Sunday in the zone', () => {
    const chart = computeControlChart(even, { zone: 'UTC' })
    expect(chart?.points).toHaveLength(20)
    expect(chart?.points[0]).toMatchObject({
      firstDay: Math.floor(FIRST_AT / DAY),
      consignments: 7,
      underWay: 0,
    })
    expect(chart?.points.every(({ firstDay, lastDay }) => lastDay - firstDay === 6)).toBe(true)
    // On the evening of a Sunday in UTC it is Monday in Auckland.
    const sunday = even.map((one) => ({ ...one, startedAt: one.startedAt - DAY }))
    expect(computeControlChart(sunday, { zone: 'Pacific/Auckland' })?.points[0]).toMatchObject({
      consignments: 7,
    })
    expect(computeControlChart(sunday, { zone: 'UTC' })?.points[0]?.firstDay).toBe(
      Math.floor(FIRST_AT / DAY) - 7,
    )
  })

  test('joins weeks of few shipments until five are there', () => {
    const thin = even.slice(0, 40).map((one, index) => ({ ...one, startedAt: FIRST_AT + index * 4 * DAY }))
    const chart = computeControlChart(thin, { zone: 'UTC' })
    expect(chart?.points.slice(0, -1).every(({ consignments }) => consignments >= 5)).toBe(true)
    expect(chart?.points.reduce((sum, { consignments }) => sum + consignments, 0)).toBe(40)
  })

  test('joins more of them if nearly all take the same days', () => {
    const sharp = shipments(drawsFrom(21), [0, 0.02, 0.95, 0.03], 400)
    const chart = computeControlChart(sharp, { zone: 'UTC' })
    expect(chart?.points.slice(0, -1).every(({ consignments }) => consignments === 14)).toBe(true)
    expect(chart?.rules).toEqual(ROUTINE_RULES)
  })

  test('tests only the limits if all take the same days, and one late one does not break them', () => {
    const same = shipments(drawsFrom(22), [0, 0, 1], 140)
    const late = [...same, arrival(FIRST_AT + 140 * DAY, 3)]
    const chart = computeControlChart(late, { zone: 'UTC' })
    expect(chart?.rules).toEqual(['beyond the limits'])
    expect(chart?.points.slice(0, -1).flatMap(({ breaks }) => breaks)).toEqual([])
  })

  test('counts the samples of a consignment as one', () => {
    const halves = even.flatMap((one) => [
      { ...one, weight: 0.5 },
      { ...one, weight: 0.5 },
    ])
    const [whole, split] = [
      computeControlChart(even, { zone: 'UTC' }),
      computeControlChart(halves, { zone: 'UTC' }),
    ]
    expect(split?.points.map(({ score }) => score.toFixed(6))).toEqual(
      whole?.points.map(({ score }) => score.toFixed(6)),
    )
  })

  test('is the same whatever the order of what it is given', () => {
    expect(computeControlChart([...even].reverse(), { zone: 'UTC' })?.points).toEqual(
      computeControlChart(even, { zone: 'UTC' })?.points,
    )
  })

  test('is null while too few have arrived', () => {
    expect(computeControlChart(even.slice(0, 19), { zone: 'UTC' })).toBeNull()
    expect(computeControlChart(even.slice(0, 20), { zone: 'UTC' })).not.toBeNull()
  })

  test('names the break where a lane grows two days slower than its reference', () => {
    const slower = even.map((one, index) => (index < 70 ? one : { ...one, steps: one.steps + 2 }))
    const chart = computeControlChart(slower, { zone: 'UTC', reference: slower.slice(0, 70) })
    expect(chart?.points.at(-1)?.breaks).toContain('nine on one side')
    expect(chart?.points.slice(10).some(({ breaks }) => breaks.includes('beyond the limits'))).toBe(true)
    expect(chart?.points.slice(0, 10).flatMap(({ breaks }) => breaks)).toEqual([])
  })

  test('shows a slow week while all of it is overdue', () => {
    const stuck = even.map((one, index) => (index < 133 ? one : { ...one, steps: 20 }))
    const chart = computeControlChart(asSeenOn(stuck, 145), { zone: 'UTC', reference: even.slice(0, 133) })
    const last = chart?.points.at(-1)
    expect(last).toMatchObject({ consignments: 7, underWay: 7, medianSteps: null })
    expect(last?.breaks).toContain('beyond the limits')
  })

  test('widens its limits if whole weeks are slow or fast together', () => {
    const together = even.map((one, index) => arrival(one.startedAt, Math.floor(index / 7) % 2 === 0 ? 1 : 6))
    const chart = computeControlChart([...even, ...together], { zone: 'UTC', reference: even })
    expect(chart?.isWidened).toBe(true)
    expect(chart?.upper).toBeGreaterThan(3)
    expect(computeControlChart(even, { zone: 'UTC' })).toMatchObject({
      isWidened: false,
      lower: -3,
      upper: 3,
      centre: 0,
    })
  })
})
