import { expect, test } from 'vitest'
import { individualsChart } from '@/lib/lane/pace/individuals'
import { findRuleBreaks } from '@/lib/lane/pace/runRules'

// Source: NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.2, the worked example of ten batches.
const BATCHES = [49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1]

test('the individuals chart gives what the NIST/SEMATECH handbook works out', () => {
  const chart = individualsChart(BATCHES)
  expect(chart.centre).toBeCloseTo(50.81, 10)
  expect(chart.meanMovingRange.toFixed(4)).toBe('1.8778')
  expect(chart.upper.toFixed(4)).toBe('55.8041')
  expect(chart.lower.toFixed(4)).toBe('45.8159')
  // The handbook: the process is in control, none of the plotted points is outside either limit.
  expect(findRuleBreaks(chart.scores, ['beyond the limits'])).toEqual([])
})
