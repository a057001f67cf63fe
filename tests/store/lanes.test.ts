import type pg from 'pg'
import { describe, expect, test } from 'vitest'
import { UNRESTRICTED } from '@/lib/custody/event'
import { fitHazards } from '@/lib/lane/model/fit'
import { getLanes, type Lane, laneKey, TRANSIT } from '@/lib/lane/model/lanes'
import { computeTransitCurve } from '@/lib/lane/model/transitCurve'
import { computeTurnaround } from '@/lib/lane/model/turnaround'
import { computeLaneTrend } from '@/lib/lane/pace/laneTrend'
import type { Scope } from '@/lib/policy/scope'
import { acceptEvents } from '@/lib/store/projection/acceptEvents'
import { getPooledTurnaround, getTurnaround } from '@/lib/store/read/figures/turnaround'
import { readPooledTransit } from '@/lib/store/read/lanes/laneFigures'
import { readLaneList } from '@/lib/store/read/lanes/laneList'
import { readLanePage } from '@/lib/store/read/lanes/lanePage'
import { applyRegister } from '@/lib/store/register/changeRegister'
import { wire } from '@/tests/cases/smallProgramme'
import { makeTestDatabase } from '@/tests/setup/database'
import { buildPureModel, type LaneHistory, laneProgramme } from './laneProgramme'

const NOW = Date.parse('2026-11-10T12:00:00Z')
const contact = (...plants: string[]): Scope => ({ plants, laboratories: [] })
const desk = (...laboratories: string[]): Scope => ({ plants: [], laboratories })
const lane = (plant: string, laboratory: string, service: string, days: LaneHistory['days']) => ({
  plant,
  laboratory,
  service,
  days,
})

const repeated = (days: (number | null)[], times: number) => Array.from({ length: times }, () => days).flat()

async function filled(lanes: LaneHistory[], makers: Record<string, string> = {}) {
  const programme = laneProgramme(lanes, NOW, makers)
  const { app } = await makeTestDatabase()
  await applyRegister(app, programme.register, NOW)
  await acceptEvents(app, wire(...programme.events), UNRESTRICTED, NOW)
  return { app, ...buildPureModel(programme, NOW) }
}

const named = async (app: pg.Pool, scope: Scope, filter = {}) =>
  (await readLaneList(app, scope, filter, NOW)).lanes.map(({ plant, laboratory, service }) =>
    [plant.code, laboratory.code, service?.code].join(' '),
  )

const FIVE = [
  lane('A', 'L1', 'road', repeated([1, 2, 2, 3], 8)),
  lane('B', 'L1', 'road', repeated([2, 3, 4], 6)),
  lane('C', 'L2', 'road', repeated([1, 1, 2], 6)),
  lane('D', 'L2', 'road', repeated([2, 2], 5)),
  lane('A', 'L2', 'air', repeated([1, 1, 1, null], 3)),
]

describe('figures of a lane', () => {
  test('are those of the pure library over the same events, with borrowing', async () => {
    const { app, record: model } = await filled(FIVE)
    const way = { plant: 'A', laboratory: 'L1', service: 'road' }
    const { figures } = (await readLanePage(app, contact('A'), way, NOW)) ?? expect.fail('no page')
    const { observations, levels } = getLanes(model).get(laneKey(way)) as Lane
    const { fit } = model.getStage(TRANSIT)
    expect(figures.curve).toEqual(computeTransitCurve(fit, levels, observations))
    expect(figures.curve?.medianSteps).toBe(2)
    expect(figures.borrowedShare).toBe(fit.evidence(levels).borrowedShare)
    expect(figures.counts.all).toBeCloseTo(32)
    const { pace, chart } = computeLaneTrend(observations, { zone: 'UTC', asOf: NOW })
    expect(figures.pace).toEqual(pace)
    expect(figures.chart).toEqual(chart)
    expect(chart?.points.length).toBeGreaterThan(3)
  })

  test('borrow nothing, and say so, if fewer than three other makers send by the service', async () => {
    const { app, record: model } = await filled(FIVE)
    const way = { plant: 'A', laboratory: 'L2', service: 'air' }
    const { figures } = (await readLanePage(app, contact('A'), way, NOW)) ?? expect.fail('no page')
    const { observations, levels } = getLanes(model).get(laneKey(way)) as Lane
    const own = fitHazards(observations, { referenceAt: NOW, weights: 0, halfLifeDays: null })
    expect(figures.curve).toEqual(computeTransitCurve(own, levels, observations))
    expect(figures.borrowedShare).toBeNull()
    const all = await readLanePage(app, 'all', way, NOW)
    expect(all?.figures.borrowedShare).toBe(model.getStage(TRANSIT).fit.evidence(levels).borrowedShare)
    expect(all?.figures.curve).not.toEqual(figures.curve)
  })

  test('two plants of one maker are one other maker', async () => {
    const way = { plant: 'A', laboratory: 'L1', service: 'road' }
    const borrowed = async (makers: Record<string, string>) =>
      (await readLanePage((await filled(FIVE, makers)).app, contact('A'), way, NOW))?.figures.borrowedShare
    expect(await borrowed({})).toBeGreaterThan(0)
    expect(await borrowed({ B: 'one', C: 'one' })).toBeNull()
    expect(await borrowed({ A: 'one', B: 'one' })).toBeNull()
  })
})

describe('who sees which lanes', () => {
  test('a contact those of the plant, a desk those to its laboratory, nobody else any', async () => {
    const { app } = await filled(FIVE)
    expect(await named(app, 'all')).toHaveLength(5)
    expect((await named(app, contact('A'))).sort()).toEqual(['A L1 road', 'A L2 air'])
    expect((await named(app, desk('L2'))).sort()).toEqual(['A L2 air', 'C L2 road', 'D L2 road'])
    expect(await named(app, { plants: [], laboratories: [] })).toEqual([])
    const { choices } = await readLaneList(app, contact('A'), {}, NOW)
    expect(choices.plant.map(({ code }) => code)).toEqual(['A'])
  })

  test('a filter narrows what is seen and shows nothing more', async () => {
    const { app } = await filled(FIVE)
    expect(await named(app, 'all', { service: 'air' })).toEqual(['A L2 air'])
    expect(await named(app, contact('A'), { plant: 'B' })).toEqual([])
    expect(await named(app, 'all', { plant: 'A', laboratory: 'L1' })).toEqual(['A L1 road'])
  })

  test('another’s lane looks like one that does not exist', async () => {
    const { app } = await filled(FIVE)
    const page = (scope: Scope, plant: string, laboratory: string, service: string | null) =>
      readLanePage(app, scope, { plant, laboratory, service }, NOW)
    expect(await page(contact('A'), 'B', 'L1', 'road')).toBeNull()
    expect(await page(desk('L2'), 'A', 'L1', 'road')).toBeNull()
    expect(await page('all', 'A', 'L1', 'air')).toBeNull()
    expect(await page('all', 'A', 'L1', null)).toBeNull()
    expect((await page(desk('L1'), 'B', 'L1', 'road'))?.plant.name).toBe('Plant B')
  })
})

test('a lane that became slower stands first, with since when and by how much', async () => {
  const { app } = await filled([
    lane('A', 'L1', 'road', repeated([1, 2, 2, 3], 20)),
    lane('B', 'L1', 'road', [...repeated([1, 1, 2], 20), ...repeated([2, 2, 3], 8)]),
  ])
  const { lanes } = await readLaneList(app, 'all', {}, NOW)
  expect(lanes.map(({ plant }) => plant.code)).toEqual(['B', 'A'])
  expect(lanes[0]?.figures.isNewlySlower).toBe(true)
  expect(lanes[0]?.figures.pace.change?.direction).toBe('slower')
  // Shipment 61 of 84 is the first of the new pace; one leaves a day, the last on 9 November.
  const since = lanes[0]?.figures.pace.change?.sinceAt ?? 0
  expect(Math.abs(since - Date.parse('2026-10-17T10:00:00Z'))).toBeLessThanOrEqual(4 * 86_400_000)
  expect(lanes[1]?.figures.isNewlySlower).toBe(false)
})

test('what is under way for more than 30 open days is presumed lost, and shown to whoever may see it', async () => {
  const days = [2, null, ...repeated([1, 2], 20)]
  const { app, record: model } = await filled([lane('A', 'L1', 'road', days), lane('B', 'L1', 'road', days)])
  const way = { plant: 'A', laboratory: 'L1', service: 'road' }
  const page = await readLanePage(app, contact('A'), way, NOW)
  expect(page?.presumedLost.flatMap(({ codes }) => codes)).toHaveLength(1)
  expect(model.presumedLost).toEqual(expect.arrayContaining(page?.presumedLost[0]?.codes ?? ['none']))
  expect(page?.figures.counts.never).toBeCloseTo(1)
  expect(page?.shipments[0]?.dispatchedAt).toBe(Date.parse('2026-11-09T10:00:00Z'))
  expect(page?.shipments).toHaveLength(20)
})

describe('turnaround', () => {
  test('is that of the pure library over the samples in scope', async () => {
    const { app, lives } = await filled(FIVE)
    expect((await getTurnaround(app, 'all', {}, NOW)).parts).toEqual(computeTurnaround(lives, NOW))
  })

  test('tells a desk nothing of what happens at plants', async () => {
    const { app } = await filled(FIVE)
    const names = async (scope: Scope) =>
      (await getTurnaround(app, scope, {}, NOW)).parts.map(({ name }) => name)
    expect(await names(desk('L1'))).toEqual([
      'transit',
      'dock',
      'wait for chamber',
      'test and report',
      'receipt to report',
    ])
    const both = await getTurnaround(app, { plants: ['B'], laboratories: ['L2'] }, {}, NOW)
    expect(both.parts.find(({ name }) => name === 'ship')?.closed).toBe(18)
    expect(both.parts.find(({ name }) => name === 'transit')?.closed).toBeGreaterThan(18)
  })

  test('and transit are pooled for readers only with three makers behind them', async () => {
    const three = await filled(FIVE)
    const { parts } = await getPooledTurnaround(three.app, NOW)
    expect(parts.find(({ name }) => name === 'transit')?.times).toEqual(
      computeTurnaround(three.lives, NOW).find(({ name }) => name === 'transit'),
    )
    expect(parts.find(({ name }) => name === 'test and report')?.times).toBeNull()
    const { observations, fit } = three.record.getStage(TRANSIT)
    expect((await readPooledTransit(three.app, NOW))?.curve).toEqual(
      computeTransitCurve(fit, [], observations),
    )

    const two = await filled(FIVE, { B: 'one', C: 'one', D: 'one' })
    expect(await readPooledTransit(two.app, NOW)).toBeNull()
    expect((await getPooledTurnaround(two.app, NOW)).parts.every(({ times }) => times === null)).toBe(true)
  })
})
