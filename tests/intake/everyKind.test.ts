import { describe, expect, test } from 'vitest'
import { EVENT_KINDS, type EventKind } from '@/lib/custody/event'
import { type EventKindRow, getPlaceOwner, KINDS } from '@/lib/custody/eventKinds'
import { type EventFormField, readEventForm, type SingleField } from '@/lib/intake/hand/eventForm'
import { type EventFormKit, parseEventForm } from '@/lib/intake/hand/parseEventForm'
import { message } from '@/lib/messages/message'
import { KIT, OTHER_KIT } from '@/tests/cases/smallProgramme'
import { findPointers, readEvent, wire } from './wire'

const NOW = Date.parse('2026-10-30T16:10:00Z')
const ZONES: Record<string, string> = { PL1: 'Europe/Lisbon', LAB: 'America/New_York' }
/** A spare kit, which requires a product. */
const SPARE: EventFormKit = {
  code: KIT,
  plant: 'PL1',
  laboratory: 'LAB',
  product: null,
  reported: [],
  clocks: [],
}
const writer = { source: 'hand p1', id: 'token KIT', name: 'Someone' }

/** A valid value for each field. */
const SAID = {
  product: 'FELT',
  lot: 'L 1',
  service: 'road',
  waybill: 'W 1',
  ...{ 'condition.seal': 'broken', 'condition.temperature': '21.5', 'condition.codeMatches': 'false' },
  what: 'a torn bag',
  sealNumber: 'N 4711',
  openFor: '20 minutes',
  on: 'desk/1',
  ruling: 'use',
  limit: 'cut to chamber',
  untilDate: '2026-11-02',
  untilTime: '12:00',
  by: 'the office',
  kit: OTHER_KIT,
  reason: 'a slip',
  note: 'seen',
} satisfies Partial<Record<EventFormField, string>> & Record<SingleField, string>

/** What a kind requires on the wire besides its time, and the pointer of the fault without it. */
const REQUIRED: Record<
  NonNullable<EventKindRow['requiredContent']>,
  { more: Record<string, unknown>; pointer: string }
> = {
  corrects: { more: { corrects: 'desk/1' }, pointer: '/corrects' },
  extension: { more: { facts: { limit: 'a', until: '2026-11-01T10:00:00Z' } }, pointer: '/facts' },
}

const read = (kind: EventKind, said: Partial<Record<EventFormField, string>>) =>
  parseEventForm(
    readEventForm((field) => (field === 'kind' ? kind : said[field])),
    SPARE,
    writer,
    (place) => ZONES[place ?? ''] ?? null,
    NOW,
  )

const recordable = EVENT_KINDS.filter((kind) => KINDS[kind].requiredContent !== 'corrects')

describe('by hand', () => {
  test.each(recordable)('“%s” is recorded with all its fields, at its place', (kind) => {
    const { fields, isOnSite } = KINDS[kind]
    const found = read(kind, SAID)
    if ('faults' in found) throw new Error(JSON.stringify(found.faults))
    const place = SPARE[getPlaceOwner(kind, null)]
    expect(found.event).toMatchObject({
      kind,
      ...(isOnSite ? { place } : { place: null, zone: ZONES[place] }),
    })
    const told = JSON.stringify(found.event)
    for (const field of fields)
      if (field === 'condition')
        expect(found.event.facts?.condition).toEqual({
          seal: 'broken',
          codeMatches: false,
          temperature: 21.5,
        })
      else expect(told, field).toContain(SAID[field])
    if (!fields.includes('reason')) expect(told).not.toContain(SAID.reason)
  })

  test.each(recordable)('“%s” requires the fields of its row, with their messages', (kind) => {
    const { requiredFields = {} } = KINDS[kind]
    const found = read(kind, {})
    const told = 'faults' in found ? found.faults : []
    expect(told).toEqual(
      expect.arrayContaining(
        Object.entries(requiredFields).map(([field, key]) => ({ field, detail: message(key) })),
      ),
    )
    if (told.length === 0) expect(requiredFields).toEqual({})
  })
})

describe('on the wire', () => {
  test.each(EVENT_KINDS)('“%s” is accepted with its required content, and refused without', (kind) => {
    const { requiredContent } = KINDS[kind]
    const required = requiredContent && REQUIRED[requiredContent]
    expect(readEvent(wire({ kind, ...required?.more })).kind).toBe(kind)
    if (required) expect(findPointers(wire({ kind }))).toEqual([required.pointer])
  })
})
