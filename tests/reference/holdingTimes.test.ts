import { describe, expect, test } from 'vitest'
import { createCalendar } from '@/lib/hold/calendar'
import { buildClock, type Clock, getClockState } from '@/lib/hold/clock'
import type { Limit } from '@/lib/hold/limit'
import { PRESETS } from '@/lib/hold/presets'
import { limit as anyLimit } from '../hold/places'

// Published holding times as worked cases. Local times are Chicago's: -06:00 in winter, -05:00 in summer.
const ZONE = 'America/Chicago'
const places = {
  plantZone: 'Europe/Lisbon',
  laboratory: createCalendar(ZONE, [
    { weekdays: new Set([1, 2, 3, 4, 5]), closed: new Set(), holdsFromAt: 0 },
  ]),
}

const limit = (
  amount: number,
  unit: Limit['unit'],
  from: Limit['from'] = 'collected',
  to: Limit['to'] = 'loaded',
): Limit =>
  anyLimit({
    name: `${amount} ${unit}`,
    from,
    to,
    amount,
    unit,
    ...(unit === 'days' || unit === 'weeks' ? { counting: 'calendar' } : {}),
  })

const run = (rule: Limit, start: string, stop: string): Clock =>
  buildClock(rule, { startedAt: Date.parse(start), stoppedAt: Date.parse(stop) }, places)
const state = (rule: Limit, start: string, stop: string) =>
  getClockState(run(rule, start, stop), Date.parse('2030-01-01T00:00Z'))

describe('a limit in hours is strict', () => {
  // Source: TNI Standard Interpretation Request 76: 36 h is met at 36:00:00 and missed at 36:05.
  test('to the instant: 36 hours are kept at 36:00:00 and missed five minutes later', () => {
    expect(state(limit(36, 'hours'), '2024-05-06T08:00:00-05:00', '2024-05-07T20:00:00-05:00')).toBe('kept')
    expect(state(limit(36, 'hours'), '2024-05-06T08:00:00-05:00', '2024-05-07T20:05:00-05:00')).toBe('lapsed')
  })
})

describe('a limit in days or months runs to the end of the last one', () => {
  // Source: EPA letter RO 14933 (27 May 2020), on SW-846 chapters 3 and 4.
  test('so that Tuesday and seven days is good through the end of the next Tuesday', () => {
    // Tuesday, 7 May 2024, early and late; Tuesday, 14 May ends at midnight. A week is the same seven days.
    for (const start of ['2024-05-07T00:00:00-05:00', '2024-05-07T23:30:00-05:00'])
      for (const rule of [limit(7, 'days'), limit(1, 'weeks')]) {
        expect(state(rule, start, '2024-05-14T23:59:59.999-05:00')).toBe('kept')
        expect(state(rule, start, '2024-05-15T00:00:00-05:00')).toBe('lapsed')
      }
  })

  test('so that January and six months is good through the end of July', () => {
    for (const start of ['2024-01-01T00:00:00-06:00', '2024-01-31T18:00:00-06:00']) {
      expect(state(limit(6, 'months'), start, '2024-07-31T23:59:59.999-05:00')).toBe('kept')
      expect(state(limit(6, 'months'), start, '2024-08-01T00:00:00-05:00')).toBe('lapsed')
    }
  })
})

describe('formaldehyde from composite wood is conditioned within 30 calendar days of production', () => {
  // Source: 40 CFR 770.20(a)(1). The last days are computed from the rule.
  const rule = PRESETS.find(({ code }) => code === '770.20')?.limits[0] as Limit

  test('from production to the beginning of conditioning', () => {
    expect(rule).toMatchObject({
      from: 'produced',
      to: 'conditioned',
      amount: 30,
      unit: 'days',
      counting: 'calendar',
      zone: 'plant',
      extendable: false,
    })
  })

  // A plant in Los Angeles and a laboratory in New York, three hours ahead: it is the plant's days that count.
  const acrossZones = { ...places, plantZone: 'America/Los_Angeles' }
  const judge = (start: string, stop: string) => {
    const facts = { startedAt: Date.parse(start), stoppedAt: Date.parse(stop) }
    return getClockState(buildClock(rule, facts, acrossZones), Number.POSITIVE_INFINITY)
  }

  test.each([
    // Winter time on both ends.
    ['31 January 2024', '2024-01-31T15:00:00-08:00', '2024-03-01', '-08:00'],
    ['31 January 2023', '2023-01-31T15:00:00-08:00', '2023-03-02', '-08:00'],
    // Summer time begins on 14 March 2027. At 22:30 it is 2 March in New York.
    ['1 March 2027, late', '2027-03-01T22:30:00-08:00', '2027-03-31', '-07:00'],
    ['1 March 2027, early', '2027-03-01T00:00:00-08:00', '2027-03-31', '-07:00'],
  ])('made on %s', (_, start, day30, offset) => {
    const end = Date.parse(`${day30}T23:59:59.999${offset}`)
    expect(judge(start, new Date(end).toISOString())).toBe('kept')
    expect(judge(start, new Date(end + 1).toISOString())).toBe('lapsed')
  })

  test('and in New York, 1 April at the plant’s hour is day 31', () => {
    expect(judge('2027-03-01T22:30:00-08:00', '2027-04-01T02:59:59.999-04:00')).toBe('kept')
    expect(judge('2027-03-01T22:30:00-08:00', '2027-04-01T03:00:00-04:00')).toBe('lapsed')
    expect(judge('2027-03-01T22:30:00-08:00', '2027-04-01T10:00:00-04:00')).toBe('lapsed')
  })

  test('which no extension moves', () => {
    const startedAt = Date.parse('2027-03-01T22:30:00-08:00')
    const grants = [{ grantedAt: startedAt, untilAt: Date.parse('2027-05-01T00:00:00Z') }]
    const clock = buildClock(rule, { startedAt, stoppedAt: null, grants }, acrossZones)
    expect(clock).toMatchObject({ dueAt: Date.parse('2027-03-31T23:59:59.999-07:00'), firstDueAt: null })
  })

  test('and to be received on day 29 does not save what is conditioned on day 31', () => {
    // Made on 1 March 2024 (in Lisbon, the plant's zone here): day 29 is 30 March, day 31 is 1 April.
    const facts = { startedAt: Date.parse('2024-03-01T09:00:00-06:00'), stoppedAt: null }
    const received = Date.parse('2024-03-30T09:00:00-05:00')
    expect(getClockState(buildClock(rule, facts, places), received)).toBe('running')
    expect(state(rule, '2024-03-01T09:00:00-06:00', '2024-04-01T09:00:00-05:00')).toBe('lapsed')
  })
})

describe('the maximum holding times of water samples', () => {
  // Source: 40 CFR 136.3(e), Table II. Its fifteen minutes (pH, residual chlorine) are shorter than a limit can be.
  test.each([
    ['coliforms', 8],
    ['aquatic toxicity', 36],
    ['biochemical oxygen demand', 48],
  ])('%s: %i hours to the instant', (_, hours) => {
    const start = '2024-06-03T10:00:00Z'
    const due = Date.parse(start) + hours * 3_600_000
    expect(state(limit(hours, 'hours'), start, new Date(due).toISOString())).toBe('kept')
    expect(state(limit(hours, 'hours'), start, new Date(due + 1).toISOString())).toBe('lapsed')
  })

  test.each([
    ['residues', 7, '2024-06-10', '2024-06-11'],
    ['cyanide', 14, '2024-06-17', '2024-06-18'],
    ['ammonia', 28, '2024-07-01', '2024-07-02'],
  ])('%s: %i days from 3 June 2024, so through %s', (_, days, last, next) => {
    const start = '2024-06-03T10:00:00-05:00'
    expect(state(limit(days, 'days'), start, `${last}T23:59:59.999-05:00`)).toBe('kept')
    expect(state(limit(days, 'days'), start, `${next}T00:00:00-05:00`)).toBe('lapsed')
  })

  test('hardness: six months from 31 August 2024, so through February 2025', () => {
    expect(state(limit(6, 'months'), '2024-08-31T10:00:00-05:00', '2025-02-28T23:59:59.999-06:00')).toBe(
      'kept',
    )
    expect(state(limit(6, 'months'), '2024-08-31T10:00:00-05:00', '2025-03-01T00:00:00-06:00')).toBe('lapsed')
  })
})

describe('chained holding times', () => {
  // Source: SW-846 method 1311, section 8.5: collection to leaching / to preparation / to analysis, in days.
  const legs = (amounts: readonly (number | null)[]) => {
    const milestones = ['collected', 'conditioned', 'loaded', 'reported'] as const
    let from: (typeof milestones)[number] = 'collected'
    return amounts.flatMap((amount, index) => {
      if (amount === null) return []
      const to = milestones[index + 1] as (typeof milestones)[number]
      const leg = limit(amount, 'days', from, to)
      from = to
      return [leg]
    })
  }

  test.each([
    ['volatiles', [14, null, 14], 28],
    ['semivolatiles', [14, 7, 40], 61],
    ['mercury', [28, null, 28], 56],
    ['other metals', [180, null, 180], 360],
  ] as const)('of %s add up to the total when each leg stops on its last day', (_, amounts, total) => {
    // Each leg stops at its due, on the last millisecond of a day, so the next one starts on that day.
    let at = Date.parse('2023-01-02T09:00:00-06:00')
    for (const leg of legs(amounts)) {
      const clock = buildClock(leg, { startedAt: at, stoppedAt: null }, places)
      at = clock.dueAt as number
      expect(getClockState({ ...clock, stoppedAt: at }, at)).toBe('kept')
      expect(getClockState({ ...clock, stoppedAt: at + 1 }, at)).toBe('lapsed')
    }
    const day = (ms: number) =>
      Date.parse(`${new Intl.DateTimeFormat('en-CA', { timeZone: ZONE }).format(ms)}T00:00Z`) / 86_400_000
    expect(day(at) - day(Date.parse('2023-01-02T09:00:00-06:00'))).toBe(total)
  })

  test('start where the leg before stopped, so that time saved on one leg is not given to the next', () => {
    // Semivolatiles leached on day 4, 6 May 2024, have 7 days from then: through 13 May, not through 23 May.
    const second = legs([14, 7, 40])[1] as Limit
    expect(second).toMatchObject({ from: 'conditioned', to: 'loaded' })
    expect(state(second, '2024-05-06T12:00:00-05:00', '2024-05-13T23:59:59.999-05:00')).toBe('kept')
    expect(state(second, '2024-05-06T12:00:00-05:00', '2024-05-14T00:00:00-05:00')).toBe('lapsed')
  })
})
