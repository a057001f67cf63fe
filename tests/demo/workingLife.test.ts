import { beforeAll, describe, expect, it } from 'vitest'
import type { SampleWithEvents } from '@/lib/custody/sample'
import { DAY, getWeekday, toLocalDay } from '@/lib/hold/zone'
import { makeOpenDays } from '@/prisma/demo/openDays'
import { PLANTS } from '@/prisma/demo/plants'
import { toWallTime } from '@/prisma/demo/wallClock'
import { type AssessedDemo, assessDemo } from './assessDemo'

let demo: AssessedDemo

beforeAll(() => {
  demo = assessDemo('2026-11-25T12:00:00Z')
})

/** Samples without contradictions or corrections, with the instants of their milestones. */
function plain(): SampleWithEvents[] {
  return demo.samples.filter(
    ({ flags, events }) => flags.length === 0 && events.every(({ correctedBy }) => correctedBy.length === 0),
  )
}

function exactly(
  { history }: SampleWithEvents,
  milestone: 'collected' | 'dispatched' | 'received',
): number | undefined {
  const reading = history.milestones.get(milestone)
  return reading && reading.earliestAt === reading.latestAt ? reading.earliestAt : undefined
}

describe('the working life of the demo', () => {
  it('cuts on the plants’ workdays in daytime', () => {
    for (const sample of plain()) {
      const plant = PLANTS.find(({ code }) => code === sample.kit.plant)
      const at = exactly(sample, 'collected')
      if (!plant || at === undefined) continue
      const hour = (toWallTime(at, plant.zone) % DAY) / 3_600_000
      expect(plant.workdays).toContain(getWeekday(toLocalDay(at, plant.zone)))
      expect(hour).toBeGreaterThan(6.5)
      expect(hour).toBeLessThan(17.5)
    }
  })

  it('receives on the laboratories’ open days, within their hours', () => {
    const laboratories = new Map(
      demo.register.laboratories.map((entry) => [entry.code, { entry, days: makeOpenDays(entry) }]),
    )
    for (const sample of plain()) {
      const laboratory = laboratories.get(sample.kit.laboratory)
      const at = exactly(sample, 'received')
      if (!laboratory || at === undefined) continue
      const day = toLocalDay(at, laboratory.entry.zone)
      const { opensAt, closesAt } = laboratory.days.hours(day)
      expect(laboratory.days.calendar.isOpen(day)).toBe(true)
      expect(at >= opensAt && at <= closesAt).toBe(true)
    }
  })

  it('has a sure lane, an erratic one, one that slowed by a day, and a new one', () => {
    const laboratories = new Map(
      demo.register.laboratories.map((entry) => [entry.code, { entry, days: makeOpenDays(entry) }]),
    )
    const steps = (plant: string, laboratory: string, service: string, from: number, to: number) =>
      plain().flatMap((sample) => {
        const { kit } = sample
        if (kit.plant !== plant || kit.laboratory !== laboratory || kit.service !== service) return []
        const lab = laboratories.get(laboratory)
        const zone = demo.register.plants.find(({ code }) => code === plant)?.zone
        const [sent, got] = [exactly(sample, 'dispatched'), exactly(sample, 'received')]
        if (!lab || zone === undefined || sent === undefined || got === undefined) return []
        if (sent < demo.now - from * DAY || sent >= demo.now - to * DAY) return []
        const arrived = toLocalDay(got, lab.entry.zone)
        let count = 0
        for (let day = toLocalDay(sent, zone); day < arrived; count++) day = lab.days.after(day, 1)
        return [count]
      })
    const mean = (counts: number[]) => counts.reduce((sum, count) => sum + count, 0) / counts.length
    const spread = (counts: number[]) => Math.sqrt(mean(counts.map((count) => (count - mean(counts)) ** 2)))

    const sure = steps('KET1', 'ZEM', 'courier', 548, 0)
    const erratic = steps('DRA2', 'ZEM', 'ground', 548, 0)
    expect(sure.length).toBeGreaterThan(200)
    expect(spread(sure)).toBeLessThan(0.7)
    expect(spread(erratic)).toBeGreaterThan(1.8)

    const before = steps('OMB1', 'OVR', 'ground', 548, 43)
    const since = steps('OMB1', 'OVR', 'ground', 42, 0)
    expect(mean(since) - mean(before)).toBeGreaterThan(0.5)
    expect(mean(since) - mean(before)).toBeLessThan(1.6)

    const fresh = demo.samples.filter(
      ({ kit }) => kit.plant === 'SUV1' && kit.laboratory === 'OVR' && kit.service === 'air',
    )
    expect(fresh.length).toBeGreaterThanOrEqual(1)
    expect(fresh.length).toBeLessThanOrEqual(30)
  })
})
