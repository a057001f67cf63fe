import { describe, expect, test } from 'vitest'
import type { RegisterEntry } from '@/lib/custody/register'
import {
  checkedRegister,
  deriveKit,
  event,
  findClock,
  iso,
  ms,
  NOW,
  registerInput,
  registerWith,
} from './desk'

type Limits = ReturnType<typeof registerInput>['protocols'][number]['limits']

/** Another version of the protocol P, with other limits. */
function protocolFrom(holdsFrom: string, change: (limits: Limits) => Limits): RegisterEntry {
  const input = registerInput()
  for (const protocol of input.protocols) if (protocol.code === 'P') protocol.limits = change(protocol.limits)
  const content = checkedRegister(input).protocols.find(({ code }) => code === 'P')
  if (!content) throw new Error('No protocol P')
  return { kind: 'protocol', content, holdsFromAt: ms(holdsFrom) }
}

const days = (amount: number) => (limits: Limits) =>
  limits.map((limit) => (limit.name === 'cut to chamber' ? { ...limit, amount } : limit))

describe('a clock is judged by the limit in force at its start', () => {
  const changed = registerWith(
    protocolFrom('2026-10-15T00:00:00Z', days(5)),
    protocolFrom('2026-10-25T00:00:00Z', days(2)),
  )
  const amount = (...events: ReturnType<typeof event>[]) =>
    findClock(deriveKit(events, { register: changed }), 'cut to chamber').limit.amount

  test.each([
    ['2020-01-01T00:00:00Z', 10],
    ['2026-10-14T23:59:59.999Z', 10],
    ['2026-10-15T00:00:00Z', 5],
    ['2026-10-24T23:59:59.999Z', 5],
    ['2026-10-25T00:00:00Z', 2],
  ])('cut at %s: %i days', (at, expected) => {
    expect(amount(event('collected', at))).toBe(expected)
  })

  test('decides its due', () => {
    const sample = deriveKit([event('collected', '2026-10-20T10:00:00Z')], { register: changed })
    // Day 5 in New York is 25 October.
    expect(iso(findClock(sample, 'cut to chamber').dueAt)).toBe('2026-10-26T03:59:59.999Z')
  })

  test('is chosen by the earliest reading of the start', () => {
    expect(
      amount(event('collected', '2026-10-20T10:00:00Z'), event('collected', '2026-10-10T10:00:00Z')),
    ).toBe(10)
  })

  test('is the one in force now while the clock has not started', () => {
    expect(amount()).toBe(2)
    const soon = registerWith(protocolFrom('2026-11-10T12:00:00.001Z', days(1)))
    expect(findClock(deriveKit([], { register: soon }), 'cut to chamber').limit.amount).toBe(10)
    expect(deriveKit([], { register: soon }).deriveAgainAt).toBe(NOW + 1)
    expect(findClock(deriveKit([], { register: soon, now: NOW + 1 }), 'cut to chamber').limit.amount).toBe(1)
  })

  test('is chosen for each clock by its own start', () => {
    const both = (limits: Limits) => limits.map((limit) => ({ ...limit, amount: 1 }))
    const register = registerWith(protocolFrom('2026-10-21T00:00:00Z', both))
    const sample = deriveKit(
      [event('collected', '2026-10-20T10:00:00Z'), event('received', '2026-10-22T10:00:00Z')],
      { register },
    )
    expect(findClock(sample, 'cut to chamber').limit.amount).toBe(10)
    expect(findClock(sample, 'dock to chamber').limit.amount).toBe(1)
  })
})

describe('a limit that comes or goes', () => {
  const names = (register: ReturnType<typeof registerWith>, at: string) =>
    deriveKit([event('collected', at)], { register }).clocks.map(({ limit }) => limit.name)

  test('does not apply to a clock that started before it came', () => {
    const sealing = { name: 'cut to seal', from: 'collected', to: 'sealed', amount: 1, unit: 'hours' }
    const register = registerWith(protocolFrom('2026-10-15T00:00:00Z', (limits) => [...limits, sealing]))
    expect(names(register, '2026-10-14T10:00:00Z')).not.toContain('cut to seal')
    expect(names(register, '2026-10-16T10:00:00Z')).toContain('cut to seal')
  })

  test('still applies to a clock that started before it went', () => {
    const register = registerWith(
      protocolFrom('2026-10-15T00:00:00Z', (limits) =>
        limits.filter(({ name }) => name !== 'cut to carrier'),
      ),
    )
    expect(names(register, '2026-10-14T10:00:00Z')).toContain('cut to carrier')
    expect(names(register, '2026-10-16T10:00:00Z')).not.toContain('cut to carrier')
  })
})

test('a product that moves to another protocol takes its limits for clocks that start then', () => {
  const content = {
    ...checkedRegister().products[0],
    code: 'TILE',
    name: 'Tile',
    plant: 'CORK',
    protocol: 'Q',
  }
  const register = registerWith({ kind: 'product', content, holdsFromAt: ms('2026-10-15T00:00:00Z') })
  const names = (...events: ReturnType<typeof event>[]) =>
    deriveKit(events, { register }).clocks.map(({ limit }) => limit.name)
  expect(names(event('collected', '2026-10-14T10:00:00Z'))).toContain('cut to chamber')
  expect(names(event('collected', '2026-10-16T10:00:00Z'))).toEqual(['made to report'])
})

test('the newest calendar counts, except on days that were past when it came', () => {
  const [north] = checkedRegister().laboratories
  if (!north) throw new Error('No laboratory')
  const content = { ...north, closed: ['2026-10-28', '2026-11-04'] }
  const register = registerWith({ kind: 'laboratory', content, holdsFromAt: ms('2026-11-01T12:00:00Z') })
  const calendar = register.getCalendar('NORTH')
  const open = ['2026-10-28', '2026-11-04', '2026-11-26'].map((date) =>
    calendar.isOpen(ms(date) / 86_400_000),
  )
  expect(open).toEqual([true, false, true])
})

test('thresholds of a protocol do not change the shares of time used without a forecast', () => {
  const input = registerInput()
  Object.assign(input.protocols[0] as object, { tight: 0.1, atRisk: 0.2 })
  const content = checkedRegister(input).protocols[0]
  if (!content) throw new Error('No protocol')
  const register = registerWith({ kind: 'protocol', content, holdsFromAt: Number.NEGATIVE_INFINITY })
  expect(register.getThresholds('P')).toEqual({ tight: 0.1, atRisk: 0.2 })
  // Five elapsed days in transit are 120 hours: 72 and 102.
  const { standingTimes } = deriveKit([event('dispatched', '2026-11-10T00:00:00Z')], { register })
  expect([iso(standingTimes.tightAt), iso(standingTimes.atRiskAt)]).toEqual([
    '2026-11-13T00:00:00.000Z',
    '2026-11-14T06:00:00.000Z',
  ])
})

test.each([
  [
    'only "atRisk", and early: no sample is tight after it is at risk',
    { atRisk: 0.03 },
    { tight: 0.03, atRisk: 0.03 },
  ],
  ['only "tight", and late: none is at risk before it is tight', { tight: 0.9 }, { tight: 0.9, atRisk: 0.9 }],
  ['neither', {}, { tight: 0.05, atRisk: 0.2 }],
])('a protocol may set %s', (_, shares, expected) => {
  const input = registerInput()
  Object.assign(input.protocols[0] as object, shares)
  const content = checkedRegister(input).protocols[0]
  if (!content) throw new Error('No protocol')
  const register = registerWith({ kind: 'protocol', content, holdsFromAt: Number.NEGATIVE_INFINITY })
  expect(register.getThresholds('P')).toEqual(expected)
})
