import { beforeAll, describe, expect, it } from 'vitest'
import { EVENT_KINDS } from '@/lib/custody/event'
import { splitFaultKey } from '@/lib/custody/findingKey'
import { toCanonical } from '@/lib/custody/kitCode'
import { getClockState } from '@/lib/hold/clock'
import { ENDINGS } from '@/lib/hold/milestone'
import { findInstants } from '@/lib/hold/zone'
import type { WireEvent } from '@/prisma/demo/wireEvent'
import { type AssessedDemo, assessDemo, countTexts, filterFlagged } from './assessDemo'

let demo: AssessedDemo
let byKey: Map<string, WireEvent>
let kinds: Record<string, number>

beforeAll(() => {
  demo = assessDemo('2026-11-25T12:00:00Z')
  byKey = new Map(demo.wire.map((event) => [`${event.source}/${event.id}`, event]))
  kinds = countTexts(demo.wire.map(({ kind }) => kind))
})

const corrected = (event: WireEvent) => byKey.get(event.corrects ?? '')

/** The event that a finding's key names, with a fault or without. */
const found = (key: string) => byKey.get(splitFaultKey(key)?.receipt ?? key)

const listNamed = ({ facts }: WireEvent) => [facts?.on ?? []].flat().map(String)

describe('what goes wrong in the demo', () => {
  it('has every ending', () => {
    for (const ending of ENDINGS) expect(kinds[ending], ending).toBeGreaterThan(3)
  })

  it('has every kind of event', () => {
    for (const kind of EVENT_KINDS) expect(kinds[kind], kind).toBeGreaterThan(3)
  })

  it('corrects only events that it has', () => {
    expect(demo.wire.filter((event) => event.corrects !== undefined && !found(event.corrects))).toEqual([])
  })

  it('corrects wrong times', () => {
    const right = demo.wire.filter(
      (event) => corrected(event)?.kind === event.kind && corrected(event)?.sample === event.sample,
    )
    expect(right.length).toBeGreaterThan(40)
    expect(right.filter((event) => corrected(event)?.at === event.at)).toEqual([])
  })

  it('corrects wrong kits, by withdrawing and by one event for another kit', () => {
    const withdrawn = demo.wire.filter(
      ({ kind, facts }) => kind === 'withdrawn' && facts?.reason === 'wrong kit',
    )
    expect(withdrawn.length).toBeGreaterThan(8)
    const across = demo.wire.filter((event) => {
      const wrong = corrected(event)
      return (
        wrong?.sample !== undefined &&
        event.sample !== undefined &&
        toCanonical(wrong.sample) !== toCanonical(event.sample)
      )
    })
    expect(across.length).toBeGreaterThan(3)
  })

  it('has loops of two corrections', () => {
    const loops = demo.wire.filter(
      (event) => corrected(corrected(event) ?? event) === event && event.corrects !== undefined,
    )
    expect(loops).toHaveLength(4)
    expect(filterFlagged(demo.samples, 'loop of corrections')).toHaveLength(2)
  })

  it('has two sources that disagree, on settled samples and on open ones', () => {
    expect(filterFlagged(demo.samples, 'reports disagree').length).toBeGreaterThan(200)
    expect(filterFlagged(demo.open, 'reports disagree').length).toBeGreaterThan(3)
  })

  it('has dates without a time, local times with a zone and with a place only, offsets and UTC', () => {
    const shapes = demo.wire.map(({ at, zone, place }) => {
      if (/^\d{4}-\d{2}-\d{2}$/.test(at)) return 'date'
      if (at.endsWith('Z')) return 'UTC'
      if (/[+-]\d{2}:\d{2}$/.test(at)) return 'offset'
      return zone !== undefined ? 'local in zone' : place !== undefined ? 'local at place' : 'none'
    })
    const counts = countTexts(shapes)
    expect(Object.keys(counts).sort()).toEqual(['UTC', 'date', 'local at place', 'local in zone', 'offset'])
    for (const shape of Object.keys(counts)) expect(counts[shape], shape).toBeGreaterThan(500)
  })

  it('has local times that mean two instants, in a repeated hour and in a missing one', () => {
    const zones = new Map(
      [...demo.register.plants, ...demo.register.laboratories].map(({ code, zone }) => [code, zone]),
    )
    const wide = demo.wire.flatMap(({ at, zone, place }) => {
      const where = zone ?? zones.get(place ?? '')
      if (where === undefined || !/^.{10}T.{8}$/.test(at)) return []
      const { instants, isGap } = findInstants(Date.parse(`${at}Z`), where)
      return instants.length > 1 ? [isGap] : []
    })
    expect(wide.filter((isGap) => !isGap).length).toBeGreaterThanOrEqual(2)
    expect(wide.filter((isGap) => isGap).length).toBeGreaterThanOrEqual(1)
  })

  it('has consignments of several samples, received and lost as one', () => {
    const dispatched = demo.wire.filter(({ kind, waybill }) => kind === 'dispatched' && waybill !== undefined)
    const samples = new Map<string, Set<string>>()
    for (const { service, waybill, sample } of dispatched) {
      const key = `${service} ${waybill}`
      samples.set(key, (samples.get(key) ?? new Set()).add(toCanonical(sample ?? '')))
    }
    expect([...samples.values()].filter((codes) => codes.size > 1).length).toBeGreaterThan(800)
    const together = countTexts(
      demo.wire.filter(({ sample }) => sample === undefined).map(({ kind }) => kind),
    )
    for (const kind of ['scanned', 'held', 'delivered', 'received', 'lost'])
      expect(together[kind], kind).toBeGreaterThan(3)
  })

  it('has milestones out of order, events before their kit and at another place', () => {
    expect(filterFlagged(demo.samples, 'out of order').length).toBeGreaterThan(15)
    expect(filterFlagged(demo.samples, 'before its kit').length).toBeGreaterThanOrEqual(3)
    expect(filterFlagged(demo.samples, 'another place').length).toBeGreaterThanOrEqual(5)
    expect(filterFlagged(demo.open, 'out of order').length).toBeGreaterThanOrEqual(1)
    expect(filterFlagged(demo.open, 'another place').length).toBeGreaterThanOrEqual(1)
  })

  it('has samples that were loaded before a least time was over', () => {
    const early = demo.samples.filter(({ clocks }) =>
      clocks.some((clock) => getClockState(clock, demo.now) === 'early'),
    )
    expect(early.length).toBeGreaterThanOrEqual(3)
    expect(early.length).toBeLessThan(20)
  })

  it('has an event ahead of now, on an open sample', () => {
    expect(filterFlagged(demo.open, 'ahead of now')).toHaveLength(1)
  })

  it('has milestones that nobody reported, and a product other than the kit was for', () => {
    expect(filterFlagged(demo.samples, 'not reported').length).toBeGreaterThan(30)
    expect(filterFlagged(demo.open, 'not reported').length).toBeGreaterThanOrEqual(1)
    expect(filterFlagged(demo.samples, 'product differs').length).toBeGreaterThanOrEqual(4)
  })

  it('has clocks extended by the administrator, with a reason', () => {
    const extended = demo.wire.filter(({ kind }) => kind === 'extended')
    for (const { facts } of extended) {
      expect(facts).toMatchObject({ approvedBy: 'programme administrator' })
      expect(facts?.reason).toBeTruthy()
    }
    expect(
      demo.samples.filter(
        ({ clocks, settled }) => settled === 'kept' && clocks.some(({ firstDueAt }) => firstDueAt !== null),
      ).length,
    ).toBeGreaterThan(2)
    expect(filterFlagged(demo.samples, 'unknown limit')).toEqual([])
  })

  it('has rulings on deviations that exist, and a few deviations still waiting', () => {
    const rulings = demo.wire.filter(({ kind }) => kind === 'ruling')
    const named = rulings.flatMap(listNamed)
    expect(named.filter((key) => !['deviation', 'received'].includes(found(key)?.kind ?? ''))).toEqual([])
    expect(named.length).toBeGreaterThanOrEqual(rulings.length)
    expect(new Set(rulings.map(({ facts }) => facts?.ruling))).toEqual(
      new Set(['use', 'use with a note', 'cut again']),
    )
    const ruledOn = new Set(named)
    const waiting = [...byKey].filter(([key, { kind }]) => kind === 'deviation' && !ruledOn.has(key))
    expect(waiting.length).toBeGreaterThanOrEqual(1)
    expect(waiting.length).toBeLessThanOrEqual(5)
  })

  it('replaces refused samples by re-collection kits that name them, and one by what was retained', () => {
    const kits = new Map(demo.register.kits.map((kit) => [kit.code, kit]))
    const replaced = demo.wire.filter(({ kind }) => kind === 'replaced by')
    for (const { sample, facts } of replaced) {
      const kit = kits.get(String(facts?.kit))
      if (kit?.purpose === 'retained') continue
      expect(kit?.purpose).toBe('re-collection')
      expect(kit?.replaces).toBe(sample)
    }
    const retained = replaced.filter(({ facts }) => kits.get(String(facts?.kit))?.purpose === 'retained')
    expect(retained).toHaveLength(1)
  })

  it('has duplicate, retained and re-collection kits, and spare ones used and unused', () => {
    const purposes = countTexts(demo.register.kits.map(({ purpose }) => purpose ?? 'first'))
    for (const purpose of ['duplicate', 'retained', 're-collection'])
      expect(purposes[purpose], purpose).toBeGreaterThan(50)
    const spare = demo.samples.filter(({ kit }) => kit.product === null)
    expect(spare.filter(({ product }) => product !== null).length).toBeGreaterThan(15)
    expect(spare.filter(({ product }) => product === null)).toHaveLength(4)
  })

  it('has a handful of events that fit nothing, two of them one slip from an open kit', () => {
    expect(demo.unplaced).toHaveLength(8)
    const open = demo.open.map(({ kit }) => kit.code)
    const slips = demo.unplaced.filter(({ sample }) => {
      const differences = (code: string) =>
        [...code.slice(0, 7)].filter((one, place) => one !== sample?.charAt(place)).length
      return sample !== null && open.some((code) => differences(code) === 1)
    })
    expect(slips).toHaveLength(2)
    expect(demo.unplaced.filter(({ sample }) => sample === null)).toHaveLength(4)
  })
})
