import { describe, expect, test } from 'vitest'
import { forecastOf } from '@/lib/lane/forecast'
import { riskOf } from '@/lib/lane/risk'
import { dateOf, journey, ms, recordBy, running } from './lanes'

/**
 * Ten shipments from P1 to L1 by road, each dispatched on a Monday in 2026 and logged in at 10:00 in New York: two on
 * Tuesday (step 1), five on Wednesday (step 2), two on Thursday (step 3), and one lost.
 */
function tenShipments() {
  const mondays = ['04-13', '04-20', '04-27', '05-04', '05-11', '05-18', '06-01', '06-08', '06-15', '06-22']
  const steps = [1, 1, 2, 2, 2, 2, 2, 3, 3]
  return mondays.map((monday, index) => {
    const dispatched = `2026-${monday}T12:00:00Z`
    const step = steps[index]
    if (step === undefined)
      return journey({ dispatched, ending: { kind: 'lost', at: ms(dispatched) + 5e8, knownAt: 0 } })
    // 14:00Z is 10:00 in New York in summer.
    const received = new Date(ms(dispatched) + step * 86_400_000 + 7_200_000).toISOString()
    return journey({ dispatched, received })
  })
}

const NOW = '2026-09-07T13:00:00Z'
/** Dispatched on Monday, 14 September 2026, at noon UTC. */
const sample = journey({ collected: '2026-09-14T09:00:00Z', dispatched: '2026-09-14T12:00:00Z' })
const dueOn = (date: string) => running('received', '2026-09-14T09:00:00Z', `${date}T03:59:59.999Z`)
const record = recordBy(tenShipments(), NOW)

describe('a single stage, worked out by hand', () => {
  // Hazards by Kaplan-Meier: h0 = 0/10, h1 = 2/10, h2 = 5/8, h3 = 2/3, then 0/1: the lost one stays at risk.
  // Chances: step 1: 2/10; step 2: 8/10 x 5/8 = 5/10; step 3: 3/10 x 2/3 = 2/10; never: 1/10.
  test.each([
    ['the end of Monday', '2026-09-15', 1],
    ['the end of Tuesday', '2026-09-16', 0.8],
    ['the end of Wednesday', '2026-09-17', 0.3],
    ['the end of Thursday', '2026-09-18', 0.1],
    ['the end of the next Monday', '2026-09-22', 0.1],
  ])('due at %s', (_, date, risk) => {
    expect(riskOf(dueOn(date), sample, record, ms('2026-09-14T12:00:00Z'))).toBeCloseTo(risk, 12)
  })

  test('the days, the quantiles and the chance of never', () => {
    const forecast = forecastOf(dueOn('2026-09-22'), sample, record, ms('2026-09-14T12:00:00Z'))
    expect(forecast?.days.map(({ day, chance }) => [dateOf(day), Number(chance.toFixed(12))])).toEqual([
      ['2026-09-15', 0.2],
      ['2026-09-16', 0.5],
      ['2026-09-17', 0.2],
    ])
    expect(forecast?.never).toBeCloseTo(0.1, 12)
    expect([forecast?.p10, forecast?.p50, forecast?.p90].map((one) => dateOf(one ?? null))).toEqual([
      '2026-09-15',
      '2026-09-16',
      '2026-09-17',
    ])
  })
})
