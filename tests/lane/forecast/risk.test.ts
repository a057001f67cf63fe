import { describe, expect, test } from 'vitest'
import { computeRisk, findRiskThresholdTimes } from '@/lib/lane/forecast/risk'
import type { Journey } from '@/lib/lane/model/journey'
import { chanceFrom } from '../../reference/random'
import { getRunSeed } from '../../setup/seed'
import { buildTestModel, journey, lanePlaces, ms, running } from '../lanes'

const HOUR = 3_600_000
const DAY = 24 * HOUR
const iso = (at: number) => new Date(at).toISOString()

/**
 * Shipments from P1 to L1 from June on, one each workday, received `steps` workdays later at 10:00 in New York.
 */
function past(steps: readonly number[], delay: number): Journey[] {
  let day = Date.UTC(2026, 5, 1)
  return steps.map((step) => {
    while ([0, 6].includes(new Date(day).getUTCDay())) day += DAY
    const dispatched = day + 9 * HOUR
    let received = day
    for (let left = step; left > 0; ) {
      received += DAY
      if (![0, 6].includes(new Date(received).getUTCDay())) left -= 1
    }
    day += DAY
    return journey({ dispatched: iso(dispatched), received: iso(received + 14 * HOUR), delay })
  })
}

const usually = (delay: number) => past([2, 2, 1, 2, 3, 2, 2, 2, 3, 2, 1, 2, 2, 4, 2, 2, 2, 3, 2, 2], delay)
/** Dispatched on Monday, 14 September 2026, due on Tuesday of the next week at the end of the day in New York. */
const sample = journey({ dispatched: '2026-09-14T09:00:00Z' })
const clock = running('received', '2026-09-14T09:00:00Z', '2026-09-23T03:59:59.999Z', 'dispatched')
const SENT = ms('2026-09-14T09:00:00Z')

describe('the risk of a clock', () => {
  const model = buildTestModel(usually(0), iso(SENT))

  test('is 0 once it has kept its limit and 1 once it has lapsed, whatever the data', () => {
    const stopped = (at: string) => ({ ...clock, stoppedAt: ms(at) })
    for (const now of [SENT, SENT + 3 * DAY, SENT + 300 * DAY]) {
      expect(computeRisk(stopped('2026-09-16T14:00:00Z'), sample, model, now)).toBe(0)
      expect(computeRisk(stopped('2026-09-23T03:59:59.999Z'), sample, model, now)).toBe(0)
      expect(computeRisk(stopped('2026-09-23T04:00:00Z'), sample, model, now)).toBe(1)
    }
  })

  test('is 1 once the due has passed, and below it up to the due itself', () => {
    const due = clock.dueAt as number
    expect(computeRisk(clock, sample, model, due + 1)).toBe(1)
    expect(
      computeRisk(clock, sample, buildTestModel(usually(0), iso(SENT), lanePlaces(), {}), SENT),
    ).toBeLessThan(0.05)
  })

  test('is null if it does not run, or there is no data on its stages', () => {
    expect(computeRisk({ ...clock, isEnded: true }, sample, model, SENT)).toBeNull()
    expect(computeRisk({ ...clock, startedAt: null, dueAt: null }, sample, model, SENT)).toBeNull()
    expect(computeRisk(clock, sample, buildTestModel([], iso(SENT)), SENT)).toBeNull()
    // There is no data on how long a cut sample waits for its carrier.
    const cut = journey({ collected: '2026-09-14T08:00:00Z' })
    const toCarrier = { ...clock, limit: { ...clock.limit, to: 'dispatched' as const } }
    expect(computeRisk(toCarrier, cut, model, SENT)).toBeNull()
    // The stop was passed unreported: its time is asked for, and there is no forecast.
    const passed = journey({ dispatched: '2026-09-14T09:00:00Z', loaded: '2026-09-16T09:00:00Z' })
    expect(computeRisk(clock, passed, model, SENT + 5 * DAY)).toBeNull()
  })
})

describe('while nothing arrives that should have', () => {
  const seed = getRunSeed()
  test(`the risk never falls, and rises to 1 (seed ${seed})`, () => {
    const chance = chanceFrom(seed)
    for (let round = 0; round < 40; round += 1) {
      // Most come on the second day, some just before or after: the longer it is out, the fewer are left.
      const steps = Array.from({ length: 40 }, () => chance.pick([1, 2, 2, 2, 2, 3]))
      const model = buildTestModel(past(steps, chance.whole(30) * HOUR), iso(SENT), lanePlaces(), {
        weights: chance.pick([0, 1, 5]),
        halfLifeDays: null,
      })
      let before = 0
      for (let now = SENT; now <= (clock.dueAt as number); now += 3 * HOUR) {
        const risk = computeRisk(clock, sample, model, now) as number
        expect(risk, `seed ${seed}, round ${round}, ${iso(now)}`).toBeGreaterThanOrEqual(before - 1e-12)
        before = risk
      }
      expect(before, `seed ${seed}, round ${round}`).toBeGreaterThan(
        2 * (computeRisk(clock, sample, model, SENT) as number),
      )
      expect(computeRisk(clock, sample, model, (clock.dueAt as number) + 1)).toBe(1)
    }
  })

  test('it grows with each day without news', () => {
    const model = buildTestModel(usually(0), iso(SENT), lanePlaces(), { weights: 1, halfLifeDays: null })
    const evenings = [0, 1, 2, 3, 4].map((days) =>
      computeRisk(clock, sample, model, SENT + days * DAY + 18 * HOUR),
    )
    for (let index = 1; index < evenings.length; index += 1)
      expect(evenings[index]).toBeGreaterThan(evenings[index - 1] as number)
  })
})

describe('before the desk has typed, the risk stays the same', () => {
  // The desk writes 22 hours after a receipt at 10:00: at eight the next morning in New York. Due on Thursday.
  const clock = running('received', '2026-09-14T09:00:00Z', '2026-09-18T03:59:59.999Z', 'dispatched')
  const model = buildTestModel(usually(22 * HOUR), iso(SENT), lanePlaces(), {
    weights: 1,
    halfLifeDays: null,
  })
  const riskAt = (now: string) => computeRisk(clock, sample, model, ms(now)) as number

  test('all through the night after the day on which it should have come, and until the desk is due to write', () => {
    // It should have come on Wednesday at 10:00; nobody could know before Thursday, 8:00 in New York (12:00Z).
    const evening = riskAt('2026-09-16T22:00:00Z')
    for (const now of ['2026-09-17T02:00:00Z', '2026-09-17T04:00:01Z', '2026-09-17T09:00:00Z'])
      expect(riskAt(now)).toBeCloseTo(evening, 12)
    // It rises only after the hours in which the report would have been written.
    expect(riskAt('2026-09-18T03:00:00Z')).toBeGreaterThan(evening + 0.01)
  })

  test('but not with a desk that reports at once', () => {
    const prompt = buildTestModel(usually(0), iso(SENT), lanePlaces(), { weights: 1, halfLifeDays: null })
    const [before, after] = ['2026-09-16T13:00:00Z', '2026-09-16T22:00:00Z'].map((now) =>
      computeRisk(clock, sample, prompt, ms(now)),
    ) as [number, number]
    expect(after).toBeGreaterThan(before)
    expect(after).toBeGreaterThan(riskAt('2026-09-16T22:00:00Z'))
  })

  test('nothing changes before the doors open, however fast the desk reports', () => {
    const prompt = buildTestModel(usually(0), iso(SENT), lanePlaces(), { weights: 1, halfLifeDays: null })
    const [midnight, eight] = ['2026-09-16T04:00:01Z', '2026-09-16T12:00:00Z'].map((now) =>
      computeRisk(clock, sample, prompt, ms(now)),
    ) as [number, number]
    expect(eight).toBeCloseTo(midnight, 12)
  })
})

describe('the instants at which the risk changes the standing', () => {
  const model = buildTestModel(usually(0), iso(SENT), lanePlaces(), { weights: 1, halfLifeDays: null })
  const thresholds = { tight: 0.05, atRisk: 0.2 }

  test('are those at which it first reaches the thresholds, to the minute', () => {
    const times = findRiskThresholdTimes(clock, sample, model, SENT, thresholds)
    for (const [at, threshold] of [
      [times?.tightAt, thresholds.tight],
      [times?.atRiskAt, thresholds.atRisk],
    ] as [number, number][]) {
      expect(computeRisk(clock, sample, model, at)).toBeGreaterThanOrEqual(threshold)
      expect(computeRisk(clock, sample, model, at - 60_001)).toBeLessThan(threshold)
    }
    expect(times?.tightAt).toBeLessThan(times?.atRiskAt as number)
    expect(times?.atRiskAt).toBeLessThan(clock.dueAt as number)
  })

  test('are now if it has reached them', () => {
    const late = ms('2026-09-22T15:00:00Z')
    expect(findRiskThresholdTimes(clock, sample, model, late, thresholds)).toEqual({
      tightAt: late,
      atRiskAt: late,
    })
  })

  test('it is at risk from the last receiving hours if only an opening out of hours could save it', () => {
    // Due on Sunday at noon in New York; the doors close on Friday at 16:00 (20:00Z).
    const due = running('received', '2026-09-14T09:00:00Z', '2026-09-20T16:00:00Z', 'dispatched')
    const never = { tight: 1, atRisk: 1 }
    const closes = ms('2026-09-18T20:00:00Z')
    expect(findRiskThresholdTimes(due, sample, model, SENT, never)).toEqual({
      tightAt: closes,
      atRiskAt: closes,
    })
    const after = closes + HOUR
    expect(findRiskThresholdTimes(due, sample, model, after, never)).toEqual({
      tightAt: after,
      atRiskAt: after,
    })
  })

  test('a stop at the plant waits for no receiving hours', () => {
    const cut = journey({ collected: '2026-09-18T15:00:00Z' })
    const before = Array.from({ length: 20 }, (_, index) =>
      journey({
        collected: iso(Date.UTC(2026, 7, 3 + index, 8)),
        dispatched: iso(Date.UTC(2026, 7, 3 + index, 12)),
      }),
    )
    const due = running('dispatched', '2026-09-18T15:00:00Z', '2026-09-25T15:00:00Z')
    const times = findRiskThresholdTimes(due, cut, buildTestModel(before, iso(SENT)), SENT + 4.5 * DAY, {
      tight: 1,
      atRisk: 1,
    })
    // At the due itself nothing is left.
    expect(times).toEqual({ tightAt: due.dueAt, atRiskAt: due.dueAt })
  })

  test('a protocol may set both', () => {
    const early = findRiskThresholdTimes(clock, sample, model, SENT, { tight: 0.001, atRisk: 0.002 })
    const late = findRiskThresholdTimes(clock, sample, model, SENT, { tight: 0.5, atRisk: 0.9 })
    expect(early?.atRiskAt).toBeLessThan(late?.tightAt as number)
  })

  test('there are none without a forecast', () => {
    expect(findRiskThresholdTimes(clock, sample, buildTestModel([], iso(SENT)), SENT, thresholds)).toBeNull()
  })
})
