import { beforeAll, describe, expect, it } from 'vitest'
import { isKitCode, toCanonical } from '@/lib/custody/kitCode'
import { generateDemoProgramme } from '@/prisma/demo/demoProgramme'
import { type AssessedDemo, assessDemo } from './assessDemo'

const NOW = '2026-11-25T12:00:00Z'
let demo: AssessedDemo

beforeAll(() => {
  demo = assessDemo(NOW)
})

describe('the demo programme as a document and events', () => {
  it('is the same, byte for byte, for the same now and seed', () => {
    const again = generateDemoProgramme(demo.now, 1)
    expect(JSON.stringify(again) === JSON.stringify({ register: demo.register, events: demo.wire })).toBe(
      true,
    )
  })

  it('is another one for another seed', () => {
    const other = generateDemoProgramme(demo.now, 2)
    expect(other.register.kits[0]?.code).not.toBe(demo.register.kits[0]?.code)
    expect(other.events.length).not.toBe(demo.wire.length)
  })

  it('is accepted by the intake, every event and without conflict', () => {
    expect(demo.refusals).toEqual([])
    expect(demo.events).toHaveLength(demo.wire.length)
  })

  it('has right check characters in every kit and every event', () => {
    const codes = [
      ...demo.register.kits.map(({ code }) => code),
      ...demo.wire.flatMap(({ sample }) => (sample === undefined ? [] : [toCanonical(sample)])),
    ]
    expect(codes.filter((code) => !isKitCode(code))).toEqual([])
    expect(demo.register.kits.filter(({ code }) => /[0O1I]/.test(code.slice(0, 7)))).toEqual([])
  })

  it('names its sources plainly, and each event once within its source', () => {
    const sources = [...new Set(demo.wire.map(({ source }) => source))]
    expect(sources.filter((source) => source.includes('/') || source.length > 100)).toEqual([])
    expect(new Set(demo.wire.map(({ source, id }) => `${source}/${id}`)).size).toBe(demo.wire.length)
  })

  it('has twelve plants of rival makers in five zones, three laboratories in three, four services', () => {
    const { plants, laboratories, services, protocols, products } = demo.register
    expect(plants).toHaveLength(12)
    expect(new Set(plants.map(({ zone }) => zone)).size).toBe(5)
    expect(new Set(plants.map(({ maker }) => maker)).size).toBe(8)
    expect(new Set(laboratories.map(({ zone }) => zone)).size).toBe(3)
    expect(laboratories).toHaveLength(3)
    expect(services).toHaveLength(4)
    expect(protocols).toHaveLength(4)
    expect(products).toHaveLength(35)
  })

  it('counts in hours, days, working days and months, and one protocol sets its own chances', () => {
    const limits = demo.register.protocols.flatMap((protocol) => protocol.limits)
    const ways = limits.map(({ unit, counting, zone }) => [unit, counting, zone].filter(Boolean).join(' '))
    expect(new Set(ways)).toEqual(
      new Set([
        'hours',
        'days elapsed',
        'days calendar laboratory',
        'days calendar plant',
        'working days',
        'months plant',
      ]),
    )
    expect(
      demo.register.protocols.filter(({ tight, atRisk }) => tight !== undefined && atRisk !== undefined),
    ).toHaveLength(1)
  })
})

describe('its place in time', () => {
  it('reaches back eighteen months', () => {
    const first = Math.min(...demo.events.map(({ earliestAt }) => earliestAt))
    const days = (demo.now - first) / 86_400_000
    expect(days).toBeGreaterThan(530)
    expect(days).toBeLessThan(550)
  })

  it('says nothing of the time after now but one loading written down before it was done', () => {
    const ahead = demo.events.filter(({ earliestAt }) => earliestAt > demo.now)
    expect(ahead.map(({ kind }) => kind)).toEqual(['loaded'])
    const late = demo.wire.filter(
      ({ reportedAt }) => reportedAt !== undefined && Date.parse(reportedAt) > demo.now,
    )
    expect(late).toEqual([])
    expect(demo.register.kits.filter(({ issuedAt }) => Date.parse(issuedAt) > demo.now)).toEqual([])
  })

  it('gives when most events were written down, never before they happened', () => {
    const given = demo.events.filter((_, index) => demo.wire[index]?.reportedAt !== undefined)
    expect(given.length / demo.wire.length).toBeGreaterThan(0.85)
    const early = demo.events.filter((event, index) => {
      const reportedAt = demo.wire[index]?.reportedAt
      return (
        reportedAt !== undefined && Date.parse(reportedAt) < event.earliestAt && event.earliestAt <= demo.now
      )
    })
    expect(early).toEqual([])
  })
})
