import { describe, expect, test } from 'vitest'
import { eventKey, type ReadEvent } from '@/lib/custody/event'
import { placeEvents } from '@/lib/custody/placing'
import { deriveKit, event, KIT, kits, NOW, readMilestone } from './desk'

const AT = '2026-10-22T15:00:00Z'
const NO_KIT = { sample: null, place: 'NORTH' }
const box = (more: Record<string, unknown> = {}) => event('received', AT, { ...NO_KIT, id: 'box', ...more })

function place(...events: ReadEvent[]) {
  const { bySample, unplaced, unplacedCorrected } = placeEvents(events, (code) => kits.has(code), NOW)
  return {
    placed: [...bySample.values()].flat().map((one) => eventKey(one.event)),
    unplaced: unplaced.map(eventKey),
    corrected: unplacedCorrected.map((one) => eventKey(one.event)),
  }
}

describe('a box without a readable code', () => {
  test('is unplaced, with a waybill or without, though a sample travels under that waybill', () => {
    const sent = event('dispatched', '2026-10-20T15:00:00Z', { service: 'air', waybill: 'W1', id: 'sent' })
    expect(place(sent, box())).toEqual({ placed: ['desk/sent'], unplaced: ['desk/box'], corrected: [] })
    expect(place(sent, box({ waybill: 'W1' })).unplaced).toEqual(['desk/box'])
  })

  test('is that of the sample that corrects it, in any order', () => {
    const assigned = event('received', AT, { id: 'again', corrects: 'desk/box' })
    for (const events of [
      [box(), assigned],
      [assigned, box()],
    ]) {
      expect(place(...events)).toEqual({ placed: ['desk/again'], unplaced: [], corrected: ['desk/box'] })
      expect(readMilestone(deriveKit(events, { of: KIT }), 'received')).toBe('2026-10-22T15:00:00.000Z')
    }
  })

  test('is taken back by a withdrawal, which itself needs no sample', () => {
    const undone = event('withdrawn', AT, { ...NO_KIT, id: 'undone', corrects: 'desk/box' })
    expect(place(undone, box())).toEqual({ placed: [], unplaced: [], corrected: ['desk/box'] })
  })
})
