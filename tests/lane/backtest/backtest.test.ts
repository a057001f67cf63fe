import { describe, expect, test } from 'vitest'
import { createCalendar } from '@/lib/hold/calendar'
import type { Limit } from '@/lib/hold/limit'
import type { Milestone } from '@/lib/hold/milestone'
import { DAY, HOUR } from '@/lib/hold/zone'
import { backdateHistory } from '@/lib/lane/backtest/backdateHistory'
import { backtestSync, type Forecaster } from '@/lib/lane/backtest/backtest'
import { computeScoreboard } from '@/lib/lane/backtest/scoreboard'
import { createTrial, type Subject, type Trial } from '@/lib/lane/backtest/trial'
import type { Journey, JourneyEnding, Report } from '@/lib/lane/model/journey'
import type { Places } from '@/lib/lane/model/places'

const at = (text: string) => Date.parse(`2026-${text}:00Z`)
const calendar = createCalendar('UTC', [
  { weekdays: new Set([1, 2, 3, 4, 5]), closed: new Set(), holdsFromAt: Number.NEGATIVE_INFINITY },
])
const places: Places = {
  plantZone: () => 'UTC',
  calendar: () => calendar,
  hours: () => Array.from({ length: 7 }, () => [[480, 1020] as const]),
  pickups: () => null,
}
const LIMIT: Limit = {
  name: 'on the way',
  from: 'dispatched',
  to: 'received',
  amount: 3,
  unit: 'working days',
}
const NOW = at('06-01T00:00')

interface ReportParts {
  milestone: Milestone
  at: string
  knownAt?: string
  withdrawnAt?: string
}

function journey(code: string, parts: ReportParts[], more: Partial<Journey> = {}): Journey {
  const reports = parts.map(
    ({ milestone, ...one }): Report => ({
      milestone,
      at: at(one.at),
      latestAt: at(one.at),
      knownAt: at(one.knownAt ?? one.at),
      withdrawnAt: one.withdrawnAt === undefined ? null : at(one.withdrawnAt),
    }),
  )
  return {
    code,
    plant: 'P',
    laboratory: 'L',
    service: 'S',
    consignment: null,
    issuedAt: 0,
    reports,
    ending: null,
    ...more,
  }
}

const trial = (parts: ReportParts[], ending: JourneyEnding | null = null, limit = LIMIT, now = NOW) =>
  createTrial(journey('one', parts, { ending }), limit, places, now)
const moments = (found: ReturnType<typeof trial>) =>
  (found as Trial).moments.map((moment) => [new Date(moment.at).toISOString().slice(5, 16), moment.openDays])

// Dispatched on Thursday 7 May 2026; three working days after it is Tuesday 12 May.
const SENT: ReportParts = { milestone: 'dispatched', at: '05-07T16:00', knownAt: '05-07T18:00' }

describe('a trial', () => {
  test('is forecast when the dispatch is known, and at noon of each open day until the receipt is known', () => {
    const found = trial([SENT, { milestone: 'received', at: '05-11T09:00', knownAt: '05-11T15:00' }])
    expect(found).toMatchObject({ isLate: false })
    expect(moments(found)).toEqual([
      ['05-07T18:00', 0],
      ['05-08T12:00', 1],
      ['05-11T12:00', 2],
    ])
  })

  test('ends at the due, and is late without a receipt by then', () => {
    const found = trial([SENT, { milestone: 'received', at: '05-13T09:00' }])
    expect(found).toMatchObject({ isLate: true, stoppedAt: at('05-13T09:00') })
    expect(moments(found).at(-1)).toEqual(['05-12T12:00', 3])
    expect(trial([SENT])).toMatchObject({ isLate: true, stoppedAt: null })
  })

  test('excludes a due less than a week past, even if it was kept', () => {
    const kept: ReportParts[] = [SENT, { milestone: 'received', at: '05-08T09:00' }]
    expect(trial(kept, null, LIMIT, at('05-19T23:00'))).toBe('due not a week past')
    expect(trial(kept, null, LIMIT, at('05-20T01:00'))).toMatchObject({ isLate: false })
  })

  test('knows a withdrawn report until it was withdrawn', () => {
    const found = trial([
      SENT,
      { milestone: 'received', at: '05-08T09:00', withdrawnAt: '05-11T10:00' },
      { milestone: 'received', at: '05-12T09:00' },
    ])
    // On the 8th at noon it was thought to have arrived.
    expect(moments(found).map(([when]) => when)).toEqual(['05-07T18:00', '05-11T12:00'])
  })

  test('counts lost and returned as late, rejected as arrived, and leaves out the rest', () => {
    const ending = (kind: JourneyEnding['kind']) => ({
      kind,
      at: at('05-11T09:00'),
      knownAt: at('05-11T10:00'),
    })
    expect(trial([SENT], ending('lost'))).toMatchObject({ isLate: true })
    expect(trial([SENT], ending('returned'))).toMatchObject({ isLate: true })
    expect(trial([SENT], ending('rejected'))).toMatchObject({ isLate: false })
    expect(trial([SENT], ending('rejected'), { ...LIMIT, to: 'loaded' })).toBe('rejected or cancelled')
    expect(trial([SENT], ending('cancelled'))).toBe('rejected or cancelled')
    expect(trial([SENT, { milestone: 'loaded', at: '05-12T10:00' }])).toBe('stop not reported')
    expect(trial([{ milestone: 'collected', at: '05-07T10:00' }])).toBe('never dispatched')
    expect(trial([SENT], null, { ...LIMIT, from: 'collected' })).toBe('never started')
  })
})

/** Dispatched on one of several Mondays, and received this many days later. */
function sent(code: string, week: number, days: number, more: Partial<Journey> = {}): Subject {
  const dispatchedAt = at('01-05T16:00') + week * 7 * DAY
  const report = (milestone: Milestone, when: number): Report => ({
    milestone,
    at: when,
    latestAt: when,
    knownAt: when + HOUR,
    withdrawnAt: null,
  })
  const reports = [report('dispatched', dispatchedAt), report('received', dispatchedAt + days * DAY)]
  return { limits: [LIMIT], journey: { ...journey(code, []), reports, ...more } }
}

const half: Forecaster = () => ({ risk: 0.5, low: 0.4, high: 0.6 })

describe('a backtest', () => {
  test('fits at the start of each week, and forecasts from what was known then', () => {
    const fittedAt: number[] = []
    const askedAfter: number[] = []
    backtestSync([sent('a', 0, 1), sent('b', 2, 4)], places, NOW, (knownAt) => {
      fittedAt.push(knownAt)
      return (clock, _, known, when) => {
        askedAfter.push(when - knownAt)
        expect(known.milestones.has('received')).toBe(false)
        expect(clock.startedAt).toBeLessThan(when)
        return null
      }
    })
    expect(fittedAt.map((when) => new Date(when).toISOString())).toEqual([
      '2026-01-05T00:00:00.000Z',
      '2026-01-19T00:00:00.000Z',
    ])
    expect(askedAfter.every((after) => after >= 0 && after < 7 * DAY)).toBe(true)
  })

  test('lets a plain rule learn only from earlier dues', () => {
    const { forecasts } = backtestSync(
      [sent('a', 0, 4), sent('b', 1, 1), sent('c', 2, 1)],
      places,
      NOW,
      () => half,
    )
    const shares = forecasts
      .filter(({ openDays }) => openDays === 0)
      .map(({ journey: { code }, plain }) => [code, plain['share of the lane']])
    // No trial, then one late of one, then one late of two; half a case of each kind is added.
    expect(shares).toEqual([
      ['a', 0.5],
      ['b', 0.75],
      ['c', 0.5],
    ])
  })

  test('takes the share of those not yet arrived only from samples not arrived after as many days', () => {
    const past = [sent('a', 0, 4), sent('b', 1, 1), sent('c', 2, 1), sent('d', 3, 1)]
    const { forecasts } = backtestSync([...past, sent('e', 4, 3)], places, NOW, () => half)
    const rule = forecasts
      .filter(({ journey: { code } }) => code === 'e')
      .map(({ openDays, plain }) => [openDays, plain['share of the lane, not yet'], plain['over the median']])
    // At dispatch one of four was late. The reports of b, c and d came only after noon of day 1; on days 2 and
    // 3 only a was under way.
    expect(rule).toEqual([
      [0, 1.5 / 5, 0],
      [1, 1.5 / 5, 0],
      [2, 1.5 / 2, 1],
      [3, 1.5 / 2, 1],
    ])
  })

  test('counts a consignment once, and clusters by lane and week of dispatch', () => {
    const box = { consignment: 'S 1' }
    const three = [sent('a', 0, 1, box), sent('b', 0, 1, box), sent('c', 0, 1), sent('d', 1, 1)]
    const { forecasts } = backtestSync(three, places, NOW, () => half)
    const atDispatch = forecasts.filter(({ openDays }) => openDays === 0)
    expect(atDispatch.map(({ weight }) => weight)).toEqual([0.5, 0.5, 1, 1])
    expect(new Set(atDispatch.map(({ cluster }) => cluster)).size).toBe(2)
    expect(computeScoreboard(forecasts).atDispatch).toMatchObject({
      forecasts: 4,
      consignments: 3,
      clusters: 2,
      late: 0,
    })
  })

  test('counts forecasts without data, and scores no rule there', () => {
    const found = backtestSync([sent('a', 0, 1)], places, NOW, () => () => null)
    expect(found).toMatchObject({ forecasts: [], withoutHistory: 2 })
    expect(computeScoreboard(found.forecasts)).toEqual({ overall: null, atDispatch: null, lanes: [] })
  })
})

test('imported history counts as known at its time, a prompt report as received', () => {
  const parts = journey('one', [
    { milestone: 'dispatched', at: '05-07T16:00', knownAt: '05-13T16:00' },
    { milestone: 'received', at: '05-11T09:00', knownAt: '05-29T09:00' },
  ])
  expect(backdateHistory(parts).reports.map(({ knownAt }) => knownAt)).toEqual([
    at('05-13T16:00'),
    at('05-11T09:00'),
  ])
  const ending = { kind: 'lost' as const, at: at('05-07T16:00'), knownAt: at('05-29T09:00') }
  expect(backdateHistory({ ...parts, ending }).ending?.knownAt).toBe(ending.at)
})
