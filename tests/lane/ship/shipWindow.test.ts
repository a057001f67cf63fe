import { describe, expect, test } from 'vitest'
import type { Limit } from '@/lib/hold/limit'
import { computeRisk } from '@/lib/lane/forecast/risk'
import type { Journey } from '@/lib/lane/model/journey'
import { computeShipWindows, type ShipmentPlan, type ShipWindow } from '@/lib/lane/ship/shipWindow'
import { buildTestModel, formatDate, journey, lanePlaces, ms, running } from '../lanes'

/** Ten by road, two at step 1, five at step 2 and three at step 3; four by air, all at step 1. All on Mondays. */
function past(): Journey[] {
  const steps = [1, 1, 2, 2, 2, 2, 2, 3, 3, 3, -1, -1, -1, -1]
  return steps.map((step, week) => {
    const at = (days: number, hours: number) =>
      new Date(Date.UTC(2026, 4, 4 + 7 * week + days, hours)).toISOString()
    return journey({
      service: step < 0 ? 'air' : 'road',
      collected: at(0, 8),
      dispatched: at(0, 12),
      received: at(Math.abs(step), 14),
    })
  })
}

/** Road calls at P1 at 16:00 on workdays, air at 10:00 on Tuesdays and Thursdays; Lisbon is an hour ahead of UTC. */
const PICKUPS = {
  'P1 road': [null, 960, 960, 960, 960, 960, null],
  'P1 air': [null, null, 600, null, 600, null, null],
}
const toReceipt: Limit = {
  name: 'cut to receipt',
  from: 'collected',
  to: 'received',
  amount: 3,
  unit: 'days',
  counting: 'calendar',
}
// Sunday, 13 September 2026.
const NOW = '2026-09-13T12:00:00Z'
const shipment: ShipmentPlan = { plant: 'P1', laboratory: 'L1', services: ['road'], limits: [toReceipt] }
const listWindows = (parts: Partial<ShipmentPlan> = {}, now = NOW, closed: string[] = []) =>
  computeShipWindows(
    { ...shipment, ...parts },
    buildTestModel(past(), now, lanePlaces({ pickups: PICKUPS, closed })),
    ms(now),
  )
const chances = (windows: readonly ShipWindow[]) =>
  windows.map(({ day, chance }) => `${formatDate(day)} ${chance?.toFixed(3)}`)

describe('ship windows', () => {
  test('are one for each pickup of the next 14 days, with the chance to be in time', () => {
    // Three calendar days from a Monday end with Thursday: all ten came by then. From Tuesday, Friday: all.
    // From Wednesday, Saturday: Thursday and Friday count, 7/10. From Thursday, Sunday: only Friday, 2/10. From
    // Friday, Monday: step 1, 2/10.
    const { windows } = listWindows()
    const week = ['1.000', '1.000', '0.700', '0.200', '0.200']
    const days = ['14', '15', '16', '17', '18', '21', '22', '23', '24', '25']
    expect(chances(windows)).toEqual(days.map((day, index) => `2026-09-${day} ${week[index % 5]}`))
  })

  test('leave out a hand-over that would end a least time too early', () => {
    const rest = { ...toReceipt, name: 'rest', to: 'dispatched', amount: 20, atLeast: 2 } as const
    const cutAt = ms('2026-09-14T08:00:00Z')
    const { windows, best } = listWindows({ limits: [rest], cutAt })
    expect(chances(windows).slice(0, 3)).toEqual(['2026-09-14 0.000', '2026-09-15 0.000', '2026-09-16 1.000'])
    expect(best && formatDate(best.day)).toBe('2026-09-16')
  })

  test('say when to hand over, in the time of the plant, and when it is taken to be cut', () => {
    const { zone, windows } = listWindows()
    expect(zone).toBe('Europe/Lisbon')
    // 16:00 in Lisbon; the plant has always cut at 9:00.
    expect(windows[0]?.handOverAt).toBe(ms('2026-09-14T15:00:00Z'))
    expect(windows[0]?.cutAt).toBe(ms('2026-09-14T08:00:00Z'))
    expect(windows[0]?.binding?.dueAt).toBe(ms('2026-09-18T03:59:59.999Z'))
  })

  test('advise the first of the best, and the last that is safe before one is not', () => {
    const { best, lastSafe } = listWindows()
    expect(formatDate(best?.day ?? null)).toBe('2026-09-14')
    expect(formatDate(lastSafe?.day ?? null)).toBe('2026-09-15')
    expect(listWindows({ tight: 0.9 }).lastSafe?.day).toBe(listWindows().windows.at(-1)?.day)
  })

  test('know holidays', () => {
    // Closed on Wednesday: from Monday, Tuesday and Thursday count, 7/10.
    const { windows } = listWindows({}, NOW, ['2026-09-16'])
    expect(chances(windows).slice(0, 2)).toEqual(['2026-09-14 0.700', '2026-09-15 0.700'])
  })

  test('know receiving hours: a due before the doors open is a day earlier', () => {
    // Cut at 9:00 in Lisbon, 8:00Z; 72 hours later it is four in the morning in New York.
    const hours: Limit = { name: 'hours', from: 'collected', to: 'received', amount: 72, unit: 'hours' }
    expect(listWindows({ limits: [hours] }).windows[0]?.chance).toBeCloseTo(0.7, 12)
    // 78 hours end at ten o'clock: of Thursday's 3/10, (14 + 20 x 2/8) / 34 have come by then.
    const longer = { ...hours, amount: 78 }
    expect(listWindows({ limits: [longer] }).windows[0]?.chance).toBeCloseTo(0.7 + (0.3 * 19) / 34, 12)
  })

  test('say what happens if it is cut that day but picked up the next', () => {
    const { windows } = listWindows()
    // Cut on Monday, due with Thursday, handed over on Tuesday: Wednesday and Thursday count.
    expect(windows[0]?.missed.handOverAt).toBe(ms('2026-09-15T15:00:00Z'))
    expect(windows[0]?.missed.chance).toBeCloseTo(0.7, 12)
    // Cut on Friday, due with Monday, handed over on Monday: only the same day, on which none ever came.
    expect(formatDate(windows[4]?.day ?? null)).toBe('2026-09-18')
    expect(windows[4]?.missed.handOverAt).toBe(ms('2026-09-21T15:00:00Z'))
    expect(windows[4]?.missed.chance).toBe(0)
  })

  test('are those of each service on the days on which it calls', () => {
    const { windows, best } = listWindows({ services: ['road', 'air'] })
    expect(windows.slice(0, 3).map(({ day, service }) => [formatDate(day), service])).toEqual([
      ['2026-09-14', 'road'],
      ['2026-09-15', 'road'],
      ['2026-09-15', 'air'],
    ])
    expect(windows.filter(({ service }) => service === 'air').map(({ chance }) => chance)).toEqual([
      1, 1, 1, 1,
    ])
    expect(best?.service).toBe('road')
    // Every pickup by air is safe, so the last one is that of the second Thursday.
    expect(formatDate(listWindows({ services: ['air'] }).lastSafe?.day ?? null)).toBe('2026-09-24')
  })

  test('without pickups known, are workdays at the hour at which the plant hands over', () => {
    const model = buildTestModel(past(), NOW)
    const { windows } = computeShipWindows(shipment, model, ms(NOW))
    expect(windows).toHaveLength(10)
    expect(windows[0]?.isPickupKnown).toBe(false)
    expect(windows[0]?.handOverAt).toBe(ms('2026-09-14T12:00:00Z'))
    expect(listWindows().windows[0]?.isPickupKnown).toBe(true)
  })

  test('today are only those still to come, with the cut now', () => {
    const { windows } = listWindows({}, '2026-09-14T14:00:00Z')
    expect([windows[0]?.cutAt, windows[0]?.handOverAt].map((at) => at ?? 0)).toEqual([
      ms('2026-09-14T14:00:00Z'),
      ms('2026-09-14T15:00:00Z'),
    ])
    expect(formatDate(listWindows({}, '2026-09-14T15:00:01Z').windows[0]?.day ?? null)).toBe('2026-09-15')
  })

  test('for a sample that is cut are hand-overs before its due', () => {
    const { windows, lastSafe } = listWindows({ cutAt: ms('2026-09-14T07:00:00Z') }, '2026-09-14T08:00:00Z')
    expect(chances(windows).slice(0, 4)).toEqual([
      '2026-09-14 1.000',
      '2026-09-15 0.700',
      '2026-09-16 0.200',
      '2026-09-17 0.000',
    ])
    expect(lastSafe?.handOverAt).toBe(ms('2026-09-14T15:00:00Z'))
  })

  test('are judged by the limit that is likeliest to be missed', () => {
    const carrier: Limit = {
      name: 'cut to carrier',
      from: 'collected',
      to: 'dispatched',
      amount: 24,
      unit: 'hours',
    }
    const transit: Limit = {
      name: 'in transit',
      from: 'dispatched',
      to: 'received',
      amount: 1,
      unit: 'working days',
    }
    const seal: Limit = { name: 'seal', from: 'collected', to: 'sealed', amount: 1, unit: 'hours' }
    const dock: Limit = { name: 'dock', from: 'received', to: 'loaded', amount: 1, unit: 'working days' }
    const [window] = listWindows({ limits: [toReceipt, carrier, transit, seal, dock] }).windows
    expect(window?.limits.map(({ limit }) => limit)).toEqual([
      'cut to receipt',
      'cut to carrier',
      'in transit',
    ])
    expect(window?.binding?.limit).toBe('in transit')
    expect(window?.chance).toBeCloseTo(0.2, 12)
    // Left until the next day, it misses its carrier.
    expect(window?.missed.binding?.limit).toBe('cut to carrier')
    expect(window?.missed.chance).toBe(0)
  })

  test('have no chance without data', () => {
    const toChamber: Limit = { ...toReceipt, name: 'cut to chamber', to: 'reported' }
    const model = buildTestModel([], NOW, lanePlaces({ pickups: PICKUPS }))
    const found = computeShipWindows({ ...shipment, limits: [toChamber] }, model, ms(NOW))
    expect(found.windows.map(({ chance }) => chance)).toEqual(Array(10).fill(null))
    expect([found.best, found.lastSafe]).toEqual([null, null])
  })

  test('agree with the risk of a sample just handed over', () => {
    const model = buildTestModel(past(), NOW, lanePlaces({ pickups: PICKUPS }), {})
    const [window] = computeShipWindows(shipment, model, ms(NOW)).windows as [ShipWindow]
    const sent = journey({
      collected: new Date(window.cutAt).toISOString(),
      dispatched: new Date(window.handOverAt).toISOString(),
    })
    const due = new Date(window.binding?.dueAt as number).toISOString()
    const clock = running('received', new Date(window.cutAt).toISOString(), due)
    const risk = computeRisk(clock, sent, model, window.handOverAt) as number
    expect(window.chance).toBeCloseTo(1 - risk, 12)
    const [low, high] = [window.binding?.low as number, window.binding?.high as number]
    expect(low).toBeLessThan(1 - risk)
    expect(high).toBeGreaterThan(1 - risk)
  })
})
