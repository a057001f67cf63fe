import { describe, expect, test } from 'vitest'
import { computeForecast, rateByRisk } from '@/lib/lane/forecast/forecast'
import { computeRisk } from '@/lib/lane/forecast/risk'
import { buildTestModel, formatDate, journey, lanePlaces, ms, running } from '../lanes'

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
const model = buildTestModel(tenShipments(), NOW)

describe('a single stage, worked out by hand', () => {
  // Kaplan-Meier hazards: h0 = 0/10, h1 = 2/10, h2 = 5/8, h3 = 2/3, then 0/1, because the lost one stays at
  // risk. Chances: step 1: 2/10; step 2: 8/10 x 5/8 = 5/10; step 3: 3/10 x 2/3 = 2/10; never: 1/10.
  test.each([
    ['the end of Monday', '2026-09-15', 1],
    ['the end of Tuesday', '2026-09-16', 0.8],
    ['the end of Wednesday', '2026-09-17', 0.3],
    ['the end of Thursday', '2026-09-18', 0.1],
    ['the end of the next Monday', '2026-09-22', 0.1],
  ])('due at %s', (_, date, risk) => {
    expect(computeRisk(dueOn(date), sample, model, ms('2026-09-14T12:00:00Z'))).toBeCloseTo(risk, 12)
  })

  test('the days, the quantiles and the chance of never', () => {
    const forecast = computeForecast(dueOn('2026-09-22'), sample, model, ms('2026-09-14T12:00:00Z'))
    expect(forecast?.days.map(({ day, chance }) => [formatDate(day), Number(chance.toFixed(12))])).toEqual([
      ['2026-09-15', 0.2],
      ['2026-09-16', 0.5],
      ['2026-09-17', 0.2],
    ])
    expect(forecast?.never).toBeCloseTo(0.1, 12)
    expect([forecast?.p10, forecast?.p50, forecast?.p90].map((one) => formatDate(one ?? null))).toEqual([
      '2026-09-15',
      '2026-09-16',
      '2026-09-17',
    ])
  })
})

describe("only the part of the due's day before the due counts, and only the unobserved part of today", () => {
  // Nine receipts at 10:00, shrunk with weight 20 to the hours from 8:00 to 16:00: by noon (9 + 20 x 4/8) / 29
  // of a day's receipts have come, by 11:00 (9 + 20 x 3/8) / 29.
  const [byNoon, byEleven] = [19 / 29, 16.5 / 29]
  const clock = running('received', '2026-09-14T09:00:00Z', '2026-09-16T16:00:00Z')

  test('due at noon on Wednesday', () => {
    const risk = computeRisk(clock, sample, model, ms('2026-09-14T12:00:00Z'))
    expect(risk).toBeCloseTo(1 - 0.2 - 0.5 * byNoon, 12)
  })

  test('at eleven on that day, with a desk that reports at once and has reported nothing', () => {
    // It has not come by Tuesday. Wednesday's hazard is 5/8, of which the part after eleven is left.
    const risk = computeRisk(clock, sample, model, ms('2026-09-16T15:00:00Z'))
    expect(risk).toBeCloseTo((1 - (5 / 8) * byNoon) / (1 - (5 / 8) * byEleven), 12)
  })

  test('on Tuesday morning before the doors open it is what it was on Monday, without Monday', () => {
    // Monday is over without a receipt, but none ever came on a Monday.
    const risk = computeRisk(clock, sample, model, ms('2026-09-15T11:00:00Z'))
    expect(risk).toBeCloseTo(1 - 0.2 - 0.5 * byNoon, 12)
  })
})

describe('three stages, worked out by hand', () => {
  // Cut to hand-over: half the same day, half the next. Transit: 1/4 at step 1, 3/4 at step 2. Dock to chamber: half the
  // same day, half the next open day. All four on Mondays, so that no weekend lies between.
  const past = [
    [0, 1, 1],
    [0, 2, 2],
    [1, 3, 4],
    [1, 3, 4],
  ].map(([dispatched, received, loaded], week) => {
    const at = (days: number, hours: number) =>
      new Date(Date.UTC(2026, 7, 3 + 7 * week + days, hours)).toISOString()
    return journey({
      collected: at(0, 8),
      dispatched: at(dispatched as number, 12),
      received: at(received as number, 14),
      loaded: at(loaded as number, 18),
    })
  })
  const model = buildTestModel(past, NOW)
  const cut = journey({ collected: '2026-09-14T08:00:00Z' })
  const forecast = (due: string, now = '2026-09-14T08:00:00Z', from = model) =>
    computeForecast(running('loaded', '2026-09-14T08:00:00Z', due), cut, from, ms(now))

  test('the days on which it may be loaded', () => {
    // Handed over on Monday or Tuesday, 1/2 each. Received: Tuesday 1/8, Wednesday 3/8 + 1/8, Thursday 3/8.
    // Loaded: Tuesday 1/16, Wednesday 1/16 + 4/16, Thursday 4/16 + 3/16, Friday 3/16.
    const found = forecast('2026-09-18T03:59:59.999Z')
    expect(found?.days.map(({ day, chance }) => [formatDate(day), Number(chance.toFixed(12))])).toEqual([
      ['2026-09-15', 1 / 16],
      ['2026-09-16', 5 / 16],
      ['2026-09-17', 7 / 16],
      ['2026-09-18', 3 / 16],
    ])
    expect(found?.risk).toBeCloseTo(3 / 16, 12)
    expect(found?.never).toBeCloseTo(0, 12)
  })

  test('a laboratory closed on Wednesday moves what was to come then, and after, a day on', () => {
    const closed = buildTestModel(past, NOW, lanePlaces({ closed: ['2026-09-16'] }))
    const found = forecast('2026-09-18T03:59:59.999Z', '2026-09-14T08:00:00Z', closed)
    // Transit counts Tuesday 1, Thursday 2, Friday 3. From Monday: Tuesday 1/4, Thursday 3/4; from Tuesday: Thursday 1/4,
    // Friday 3/4. Received: Tuesday 1/8, Thursday 4/8, Friday 3/8. Loaded: Tuesday 1/16, Thursday 1/16 + 4/16,
    // Friday 4/16 + 3/16, Monday 3/16.
    expect(found?.days.map(({ day, chance }) => [formatDate(day), Number(chance.toFixed(12))])).toEqual([
      ['2026-09-15', 1 / 16],
      ['2026-09-17', 5 / 16],
      ['2026-09-18', 7 / 16],
      ['2026-09-21', 3 / 16],
    ])
  })

  test('conditioned on what the plant has not reported', () => {
    // By the night to Tuesday the plant, which writes at once, has not handed it over: it does on Tuesday.
    // Received: Wednesday 1/4, Thursday 3/4. Loaded: Wednesday 1/8, Thursday 1/8 + 3/8, Friday 3/8.
    const found = forecast('2026-09-18T03:59:59.999Z', '2026-09-15T01:00:00Z')
    expect(found?.risk).toBeCloseTo(3 / 8, 12)
    expect(found?.stages.map(({ notBeforeStep }) => notBeforeStep)).toEqual([1, 0, 0])
  })

  test('what leaves after the pickup hour counts from the next pickup day', () => {
    // Picked up at 11:00 in Lisbon (10:00Z) each workday. The plant has always handed over at 13:00, so only
    // the whole-day prior of weight 20 catches a pickup: 20 x 11/24 of 24.
    const pickups = { 'P1 road': [null, 660, 660, 660, 660, 660, null] }
    const late = buildTestModel(past, NOW, lanePlaces({ pickups }))
    const caught = (20 * 11) / 24 / 24
    // Transit of those four then counts from the day after, with steps 0, 1, 1, 1: all by step 1.
    const hazards = [...late.getStage({ from: 'dispatched', to: 'received' }).fit.hazards([])].slice(0, 2)
    expect(hazards).toEqual([1 / 4, 1])
    // Handed over on Monday and caught: received on Monday 1/4 or Tuesday 3/4; each later start is a day later.
    // Within two days: c/2 start on Monday, (1-c)/2 + c/2 on Tuesday, (1-c)/2 on Wednesday.
    const found = forecast('2026-09-18T03:59:59.999Z', '2026-09-14T08:00:00Z', late)
    const starts = [caught / 2, 1 / 2, (1 - caught) / 2]
    const received = [0, 1, 2, 3].map((day) => (starts[day] ?? 0) / 4 + (3 * (starts[day - 1] ?? 0)) / 4)
    const hazard = late.getStage({ from: 'received', to: 'loaded' }).fit.hazards([])[0] as number
    const loaded = [0, 1, 2, 3, 4].map(
      (day) => (received[day] ?? 0) * hazard + (received[day - 1] ?? 0) * (1 - hazard),
    )
    expect(found?.days.map(({ chance }) => Number(chance.toFixed(12)))).toEqual(
      loaded.map((chance) => Number(chance.toFixed(12))),
    )
  })
})

describe('never', () => {
  test('a quantile that it exceeds is null, and a due beyond all steps leaves it', () => {
    // Three of twelve are lost, so one in four never comes.
    const twelve = [...tenShipments(), ...tenShipments().slice(-1), ...tenShipments().slice(-1)]
    const forecast = computeForecast(
      dueOn('2027-06-01'),
      sample,
      buildTestModel(twelve, NOW),
      ms('2026-09-14T12:00:00Z'),
    )
    expect(forecast?.never).toBeCloseTo(0.25, 12)
    expect(forecast?.risk).toBeCloseTo(0.25, 12)
    expect(forecast?.p50).not.toBeNull()
    expect(forecast?.p90).toBeNull()
  })

  test('a sample under way past the last step has no chance left', () => {
    const forecast = computeForecast(
      dueOn('2027-06-01'),
      sample,
      buildTestModel(tenShipments(), '2026-12-01T12:00:00Z'),
      ms('2026-12-01T12:00:00Z'),
    )
    expect([forecast?.risk, forecast?.never, forecast?.p10]).toEqual([1, 1, null])
  })
})

describe('out of hours', () => {
  // Due on Sunday at noon in New York; the doors close on Friday at 16:00 (20:00Z).
  const clock = running('received', '2026-09-14T09:00:00Z', '2026-09-20T16:00:00Z')
  test.each([
    ['while the doors are open', '2026-09-18T19:59:59Z', false],
    ['once they have closed for the last time before the due', '2026-09-18T20:00:00Z', true],
    ['on the Sunday', '2026-09-20T15:00:00Z', true],
  ])('only an opening could save it: %s', (_, now, needsOpening) => {
    const forecast = computeForecast(clock, sample, model, ms(now))
    expect(forecast?.needsOpening).toBe(needsOpening)
    if (needsOpening && forecast) expect(rateByRisk({ ...forecast, risk: 0.01 })).toBe('at risk')
  })

  test('a due within the hours needs none', () => {
    const within = running('received', '2026-09-14T09:00:00Z', '2026-09-18T19:00:00Z')
    expect(computeForecast(within, sample, model, ms('2026-09-18T18:59:00Z'))?.needsOpening).toBe(false)
  })
})

describe('standing by the risk', () => {
  const standing = (risk: number, thresholds?: Parameters<typeof rateByRisk>[1]) =>
    rateByRisk({ risk, needsOpening: false }, thresholds)

  test('is at risk from 20 %, tight from 5 %, else sound', () => {
    expect([0, 0.0499, 0.05, 0.1999, 0.2, 1].map((risk) => standing(risk))).toEqual([
      'sound',
      'sound',
      'tight',
      'tight',
      'at risk',
      'at risk',
    ])
  })

  test('a protocol may set both', () => {
    const own = { tight: 0.25, atRisk: 0.5 }
    expect([0.2, 0.3, 0.6].map((risk) => standing(risk, own))).toEqual(['sound', 'tight', 'at risk'])
  })
})

describe('a kit that names no service and has yet to be dispatched', () => {
  // Three by road, at step 3; one by air, at step 1. All handed over on the day they were cut.
  const past = [3, 3, 3, 1].map((step, week) => {
    const at = (days: number, hours: number) =>
      new Date(Date.UTC(2026, 7, 3 + 7 * week + days, hours)).toISOString()
    const parts = { collected: at(0, 8), dispatched: at(0, 12), received: at(step, 14) }
    return journey({ ...parts, service: step === 1 ? 'air' : 'road' })
  })
  const model = buildTestModel(past, NOW)
  const now = ms('2026-09-14T08:00:00Z')
  const clock = running('received', '2026-09-14T08:00:00Z', '2026-09-17T03:59:59.999Z')

  test('is forecast by the services its plant has used to its laboratory, by their shares', () => {
    expect(model.listServices('P1', 'L1')).toEqual([
      { service: 'road', share: 0.75 },
      { service: 'air', share: 0.25 },
    ])
    const cut = journey({ collected: '2026-09-14T08:00:00Z', service: null })
    expect(computeRisk(clock, cut, model, now)).toBeCloseTo(0.75, 12)
    expect(computeRisk(clock, { ...cut, service: 'road' }, model, now)).toBeCloseTo(1, 12)
    expect(computeRisk(clock, { ...cut, service: 'air' }, model, now)).toBeCloseTo(0, 12)
  })

  test('weighs later ones more', () => {
    const faded = buildTestModel(past, NOW, lanePlaces(), { weights: 0, halfLifeDays: 7 })
    // A week apart: 1/8, 1/4, 1/2 by road and 1 by air.
    const [air, road] = faded.listServices('P1', 'L1')
    expect([air?.service, road?.service]).toEqual(['air', 'road'])
    expect(air?.share).toBeCloseTo(1 / 1.875, 12)
  })
})

describe('the evidence of a forecast', () => {
  test('each stage names its group, its data and the share borrowed', () => {
    const other = journey({ plant: 'P2', dispatched: '2026-09-14T12:00:00Z' })
    const found = buildTestModel(tenShipments(), NOW, lanePlaces(), {})
    const findStage = (one: typeof sample) =>
      computeForecast(dueOn('2026-09-17'), one, found, ms('2026-09-14T13:00:00Z'))?.stages[0]
    expect(findStage(sample)?.evidence.level).toBe(findStage(sample)?.levels[0])
    expect(findStage(sample)?.evidence.unfadedConsignments).toBeCloseTo(10, 9)
    // Another plant on the same service has no data of its own: all is borrowed from the service.
    expect(findStage(other)?.evidence.level).toBe(findStage(other)?.levels[1])
    expect(findStage(other)?.evidence.borrowedShare).toBe(1)
    // On another service only the pool has data.
    expect(findStage({ ...other, service: 'sea' })?.evidence.level).toBeNull()
  })
})
