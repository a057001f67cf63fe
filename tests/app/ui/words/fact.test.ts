import { describe, expect, test } from 'vitest'
import { formatFacts, formatFault } from '@/app/ui/words/fact'
import type { EventKind } from '@/lib/custody/event'
import { english } from '@/lib/messages/english'
import { deriveKit, event } from '../../../custody/desk'

const told = (kind: EventKind, facts: Record<string, unknown>) => formatFacts(english, { kind, facts })

describe('the facts of an event, for people', () => {
  test('have the words of forms and of the wire; what has no meaning stays as sent', () => {
    expect(told('reported', { outcome: 'void', reportNumber: 'R 7', chamber: 3, note: 'a dent' })).toEqual([
      'Outcome: void',
      'Report number: R 7',
      'chamber: 3',
      'Note: a dent',
    ])
    expect(told('extended', { limit: 'A to B', until: '2026-11-30', approvedBy: 'the committee' })).toEqual([
      'Limit: A to B',
      'Until: 2026-11-30',
      'Approved by: the committee',
    ])
    expect(told('deviation', { on: 'the outside', isCold: true })).toEqual(['on: the outside', 'isCold: yes'])
  })

  test('may be named like what every object has', () => {
    const facts = { constructor: 'a', toString: 'b', hasOwnProperty: 'c' }
    const asSent = ['constructor: a', 'toString: b', 'hasOwnProperty: c']
    for (const kind of ['extended', 'reported', 'received', 'deviation'] as const)
      expect(told(kind, facts), kind).toEqual(asSent)
    expect(told('received', { condition: facts })).toEqual(asSent)
  })

  test('tell a condition part by part, what cannot be read as it was sent, and what once stood beside it', () => {
    expect(told('received', { condition: { seal: 'broken', airtight: 'perhaps', temperature: 61 } })).toEqual(
      ['Seal: broken', 'Temperature, °C: 61', 'airtight: perhaps'],
    )
    expect(told('received', { 'seal intact': false, temperature: 4, note: 'late' })).toEqual([
      'Seal: broken',
      'Temperature, °C: 4',
      'Note: late',
    ])
    expect(told('received', { condition: 'torn', 'seal intact': 'hardly' })).toEqual([
      'condition: torn',
      'seal intact: hardly',
    ])
    // Only a receipt has a condition.
    expect(told('deviation', { temperature: 4 })).toEqual(['temperature: 4'])
  })

  test('tell what a ruling is on by what was found, also where that was taken back or is no finding', () => {
    const receipt = event('received', '2026-11-05T10:00:00Z', {
      id: '1',
      facts: { condition: { seal: 'broken', packaging: 'wet' } },
    })
    const deviation = event('deviation', '2026-11-05T11:00:00Z', { id: '2', facts: { what: 'a torn label' } })
    const takenBack = event('withdrawn', '2026-11-05T12:00:00Z', {
      corrects: 'desk/1#seal',
      facts: { reason: 'the light was bad' },
    })
    const events = [receipt, deviation, takenBack]
    const named = { events, findings: deriveKit(events).findings }
    const facts = {
      on: ['desk/2', 'desk/1#packaging', 'desk/1#seal', 'desk/1', 'gone/4'],
      ruling: 'use with a note',
    }
    expect(formatFacts(english, { kind: 'ruling', facts }, named)).toEqual([
      'What is ruled on: a torn label, packaging wet, Seal: broken, received and gone/4',
      'Ruling: use with a note',
    ])
    expect(formatFault(english, 'desk/1#form', events)).toBeNull()
  })
})
