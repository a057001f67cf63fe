import { describe, expect, test } from 'vitest'
import type { ClockFacts } from '@/lib/hold/clock'
import { CONFIRMED, type EventFormField, readEventForm, toEventForm } from '@/lib/intake/hand/eventForm'
import { type EventFormKit, type FormFault, parseEventForm } from '@/lib/intake/hand/parseEventForm'
import { english } from '@/lib/messages/english'
import { message } from '@/lib/messages/message'
import { clock } from '../../app/sampleRows'
import { KIT, OTHER_KIT } from '../../cases/smallProgramme'

const NOW = Date.parse('2026-10-30T16:10:00Z')
const ZONES: Record<string, string> = { PL1: 'Europe/Lisbon', LAB: 'America/New_York' }
const kit: EventFormKit = {
  code: KIT,
  plant: 'PL1',
  laboratory: 'LAB',
  product: 'FELT',
  reported: [],
  clocks: [],
}
const writer = { source: 'hand p1', id: 'token KIT', name: 'Someone' }

const read = (said: Partial<Record<EventFormField, string>>, about: Partial<EventFormKit> = {}) =>
  parseEventForm(
    readEventForm((field) => said[field]),
    { ...kit, ...about },
    writer,
    (place) => ZONES[place ?? ''] ?? null,
    NOW,
  )
const faults = (...args: Parameters<typeof read>) => {
  const found = read(...args)
  return 'faults' in found ? found.faults.map(({ field }) => field) : []
}
const event = (...args: Parameters<typeof read>) => {
  const found = read(...args)
  if ('faults' in found) throw new Error(JSON.stringify(found.faults))
  return found.event
}

describe('an event recorded by hand', () => {
  test('happens now, at the place of its kind', () => {
    expect(event({ kind: 'collected', lot: 'L 1' })).toMatchObject({
      source: 'hand p1',
      id: 'token KIT',
      sample: KIT,
      at: '2026-10-30T16:10:00+00:00',
      place: 'PL1',
      zone: null,
      lot: 'L 1',
      facts: null,
    })
    expect(event({ kind: 'loaded' })).toMatchObject({ at: '2026-10-30T12:10:00-04:00', place: 'LAB' })
    expect(event({ kind: 'lost' })).toMatchObject({ place: null, zone: 'Europe/Lisbon' })
  })

  test('tells the condition of a receipt, and nothing of what was not checked', () => {
    const said = {
      'condition.seal': 'other number',
      'condition.sealNumber': 'S 17',
      'condition.codeMatches': 'false',
      'condition.airtight': 'true',
      'condition.temperature': '−2,5',
      'condition.packaging': '',
    } as const
    expect(event({ kind: 'received', ...said, note: 'a dent' }).facts).toEqual({
      condition: {
        seal: 'other number',
        sealNumber: 'S 17',
        codeMatches: false,
        airtight: true,
        temperature: -2.5,
      },
      note: 'a dent',
    })
    expect(event({ kind: 'received' }).facts).toBeNull()
    expect(event({ kind: 'loaded', ...said }).facts).toBeNull()
  })

  test('shows what an answer may be beside each that it cannot be', () => {
    const wrong = {
      kind: 'received',
      'condition.seal': 'wax',
      'condition.temperature': 'warm',
      'condition.sealNumber': 'S'.repeat(101),
    } as const
    expect(faults(wrong)).toEqual(['condition.seal', 'condition.sealNumber', 'condition.temperature'])
    expect(faults({ kind: 'received', 'condition.temperature': '151' })).toEqual(['condition.temperature'])
  })

  test('leaves out fields that its kind does not ask for', () => {
    expect(event({ kind: 'sealed', waybill: 'W1', 'condition.seal': 'intact' })).toMatchObject({
      waybill: null,
      facts: null,
    })
  })

  test('needs the service of a hand-over, and the product of a spare kit', () => {
    expect(faults({ kind: 'dispatched' })).toEqual(['service'])
    expect(event({ kind: 'dispatched', service: 'road', waybill: 'W 1' })).toMatchObject({ waybill: 'W 1' })
    expect(faults({ kind: 'collected' }, { product: null })).toEqual(['product'])
    expect(event({ kind: 'collected', product: 'FELT' }, { product: null }).product).toBe('FELT')
  })

  test('is refused a second time, except as a correction', () => {
    expect(faults({ kind: 'loaded' }, { reported: ['loaded'] })).toEqual(['kind'])
    expect(event({ kind: 'loaded', corrects: 'desk/1' }, { reported: ['loaded'] }).corrects).toBe('desk/1')
  })

  test('extends a limit: who approved it, why, and until when in the laboratory’s zone', () => {
    const said = { kind: 'extended', limit: 'cut to chamber', untilDate: '2026-11-02', reason: 'a strike' }
    expect(event(said)).toMatchObject({
      zone: 'America/New_York',
      facts: { limit: 'cut to chamber', until: '2026-11-02', approvedBy: 'Someone', reason: 'a strike' },
    })
    expect(event({ ...said, untilTime: '12:00' }).facts?.until).toBe('2026-11-02T12:00')
    expect(faults({ ...said, untilDate: '2026-11-31' })).toEqual(['untilDate'])
    expect(faults({ kind: 'extended' }).sort()).toEqual(['limit', 'reason', 'untilDate'])
  })

  test('rules on a deviation in one of three ways, with a reason', () => {
    expect(faults({ kind: 'ruling' }).sort()).toEqual(['on', 'reason', 'ruling'])
    expect(faults({ kind: 'ruling', on: 'desk/1', ruling: 'forget it', reason: 'no' })).toEqual(['ruling'])
    const said = { kind: 'ruling', on: 'desk/1', ruling: 'use with a note', reason: 'harmless' }
    expect(event(said).facts).toEqual({ on: 'desk/1', ruling: 'use with a note', reason: 'harmless' })
  })

  test('names another, valid kit as the replacement', () => {
    expect(event({ kind: 'replaced by', kit: OTHER_KIT.toLowerCase() }).facts).toEqual({ kit: OTHER_KIT })
    expect(faults({ kind: 'replaced by', kit: KIT })).toEqual(['kit'])
    expect(faults({ kind: 'replaced by', kit: 'ABC' })).toEqual(['kit'])
  })

  test.each(['', 'withdrawn', 'eaten'])('is refused where its kind is “%s”', (kind) => {
    expect(faults({ kind })).toEqual(['kind'])
  })

  test('returns every fault at once', () => {
    expect(faults({ kind: 'dispatched', date: '2027-01-01', lot: 'x' }).sort()).toEqual(['date', 'service'])
  })
})

test('a correction starts from the report, and keeps facts that the form does not ask for', () => {
  const first = event({ kind: 'received', 'condition.seal': 'broken', 'condition.temperature': '21.5' })
  const form = toEventForm({ ...first, facts: { ...first.facts, signedBy: 'packer' } }, 'America/New_York')
  expect(form).toMatchObject({
    date: '2026-10-30',
    time: '12:10',
    'condition.seal': 'broken',
    'condition.temperature': '21.5',
    'condition.airtight': '',
  })
  const again = event(
    { ...form, time: '11:00', 'condition.seal': '' },
    { reported: ['received'], previousFacts: { ...first.facts, signedBy: 'packer' } },
  )
  expect(again).toMatchObject({ at: '2026-10-30T11:00', corrects: 'hand p1/token KIT' })
  expect(again.facts).toEqual({ signedBy: 'packer', condition: { temperature: 21.5 } })
})

test('a correction says in the condition what once stood in facts of its own', () => {
  const earlier = { 'seal intact': false, temperature: 21.5, signedBy: 'packer' }
  const first = { ...event({ kind: 'received' }), facts: earlier }
  const form = toEventForm(first, 'America/New_York')
  const again = event(form, { reported: ['received'], previousFacts: earlier })
  expect(again.facts).toEqual({ signedBy: 'packer', condition: { seal: 'broken', temperature: 21.5 } })
})

describe('what ends a clock before its least time is over', () => {
  const rest = (facts: Partial<ClockFacts> = {}) =>
    clock(
      { startedAt: Date.parse('2026-10-30T10:10:00Z'), ...facts },
      { name: 'rest', from: 'conditioned', amount: 72, atLeast: 5 },
    )
  const early = { kind: 'loaded', date: '2026-10-30', time: '11:09' }

  test('is asked about first, with the time from which it is not early', () => {
    const found = read(early, { clocks: [rest()] })
    expect('faults' in found && found.faults).toEqual([
      {
        field: 'confirm',
        detail: message('record.fault.early', {
          kind: message('event.loaded.label'),
          time: { at: Date.parse('2026-10-30T15:10:00Z'), zone: 'America/New_York' },
        }),
      },
    ])
    expect('faults' in found && english.message((found.faults[0] as FormFault).detail)).toContain(
      'may not be before Fri 30 Oct 11:10 New York.',
    )
    expect(faults({ ...early, time: '11:10' }, { clocks: [rest()] })).toEqual([])
  })

  test('is recorded once that is confirmed, and only if it is', () => {
    expect(event({ ...early, confirm: CONFIRMED }, { clocks: [rest()] })).toMatchObject({ kind: 'loaded' })
    expect(faults({ ...early, confirm: 'perhaps' }, { clocks: [rest()] })).toEqual(['confirm'])
  })

  test('is asked about for a date alone that may be too early', () => {
    expect(faults({ kind: 'loaded', date: '2026-10-30' }, { clocks: [rest()] })).toEqual(['confirm'])
  })

  test('is asked about when a report is corrected to such a time', () => {
    const clocks = [rest({ stoppedAt: Date.parse('2026-10-30T16:00:00Z') })]
    const correction = { ...early, corrects: 'hand p1/loaded' }
    expect(faults(correction, { clocks, reported: ['loaded'] })).toEqual(['confirm'])
    expect(faults({ ...correction, time: '11:30' }, { clocks, reported: ['loaded'] })).toEqual([])
  })

  test('is nothing that another milestone, or a clock without a least time, asks about', () => {
    expect(faults({ kind: 'reported' }, { clocks: [rest()] })).toEqual([])
    expect(faults(early, { clocks: [clock({ startedAt: 0 })] })).toEqual([])
  })
})

describe('an extension recorded by hand', () => {
  const extended = { kind: 'extended', limit: 'cut to chamber', untilDate: '2026-11-20', reason: 'snow' }
  const running = (startedAt: string, changes = {}) => clock({ startedAt: Date.parse(startedAt) }, changes)

  test('is refused for a limit that cannot be extended', () => {
    const clocks = [running('2026-10-29T10:00:00Z', { extendable: false })]
    expect(faults(extended, { clocks })).toEqual(['limit'])
    expect(faults(extended, { clocks: [running('2026-10-29T10:00:00Z')] })).toEqual([])
  })

  test('is refused once the first due has passed, even of a limit that was extended', () => {
    // 240 hours from 20 October, 16:10.
    expect(faults(extended, { clocks: [running('2026-10-20T16:10:00Z')] })).toEqual([])
    expect(faults(extended, { clocks: [running('2026-10-20T16:09:59Z')] })).toEqual(['limit'])
    const grants = [{ grantedAt: 0, untilAt: Date.parse('2026-11-05T00:00:00Z') }]
    const again = clock({ startedAt: Date.parse('2026-10-20T16:09:59Z'), grants })
    expect(faults(extended, { clocks: [again] })).toEqual(['limit'])
  })

  test('that was granted in time may be recorded later', () => {
    const clocks = [running('2026-10-20T12:00:00Z')]
    expect(faults({ ...extended, date: '2026-10-30', time: '07:00' }, { clocks })).toEqual([])
  })
})

test('a deviation is found at the place of whoever reports it', () => {
  const form = readEventForm(
    (field) =>
      ({ kind: 'deviation', what: 'seal broke', sealNumber: 'N 12', openFor: '20 minutes' })[field as 'kind'],
  )
  const of = (side: 'plant' | 'laboratory') => {
    const found = parseEventForm(form, kit, { ...writer, side }, (place) => ZONES[place ?? ''] ?? null, NOW)
    return 'event' in found ? found.event : found.faults
  }
  const facts = { what: 'seal broke', sealNumber: 'N 12', openFor: '20 minutes' }
  expect(of('plant')).toMatchObject({ place: 'PL1', at: '2026-10-30T16:10:00+00:00', facts })
  expect(of('laboratory')).toMatchObject({ place: 'LAB', at: '2026-10-30T12:10:00-04:00', facts })
})

test('a sample that is held says who releases it and by when', () => {
  const held = event({ kind: 'held', by: 'customs', untilDate: '2026-11-02', untilTime: '12:00' })
  expect(held).toMatchObject({
    place: null,
    zone: 'Europe/Lisbon',
    facts: { by: 'customs', until: '2026-11-02T12:00' },
  })
})
