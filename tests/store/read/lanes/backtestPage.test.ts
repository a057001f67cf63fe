import { expect, test } from 'vitest'
import type { TriedForecast } from '@/lib/lane/backtest/backtest'
import { PLAIN_RULES, type PlainRule } from '@/lib/lane/backtest/plainRules'
import { computeScoreboard } from '@/lib/lane/backtest/scoreboard'
import { computePooledScores } from '@/lib/store/read/lanes/backtestPage'

/** A forecast of a plant; plants PA1 and PA2 are of one maker. */
function createForecast(plant: string, risk: number): TriedForecast {
  const at = Date.parse('2026-10-05T12:00:00Z')
  const journey = {
    code: `${plant} ${risk}`,
    plant,
    laboratory: 'LAB',
    service: 'road',
    consignment: null,
    issuedAt: at,
    reports: [],
    ending: null,
  }
  const plain = Object.fromEntries(PLAIN_RULES.map((rule) => [rule, 0.5])) as Record<PlainRule, number>
  return {
    journey,
    limit: { name: 'on the way', from: 'dispatched', to: 'received', amount: 3, unit: 'working days' },
    at,
    known: { milestones: new Map(), ending: null },
    openDays: 0,
    dispatchedAt: at,
    dueAt: at,
    isLate: false,
    risk,
    low: risk,
    high: risk,
    plain,
    consignment: journey.code,
    weight: 1,
    cluster: plant,
  }
}

const findMaker = (plant: string) => plant.slice(0, 2)
const pooled = (forecasts: TriedForecast[]) =>
  computePooledScores(forecasts, computeScoreboard(forecasts), findMaker)

test('scores over all plants and each bin are shown if three makers stand behind them', () => {
  const three = ['PA1', 'PB1', 'PC1'].map((plant) => createForecast(plant, 0.01))
  const page = pooled([...three, createForecast('PA2', 0.4), createForecast('PB1', 0.4)])
  expect(page).toMatchObject({ isWithheld: false, lanes: [] })
  expect(page.overall?.forecasts).toBe(5)
  expect(page.overall?.bins.map(({ from }) => from)).toEqual([0])
})

test('scores with only two makers behind them are withheld, with every bin', () => {
  const two = ['PA1', 'PA2', 'PB1'].map((plant) => createForecast(plant, 0.01))
  expect(pooled(two)).toEqual({ overall: null, atDispatch: null, lanes: [], isWithheld: true })
})
