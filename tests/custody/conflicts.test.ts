import { describe, expect, test } from 'vitest'
import { deduplicateEvents } from '@/lib/custody/assess'
import { event, KIT, SECOND } from './desk'

const AT = '2026-10-20T10:00:00Z'
const base = { id: '1', service: 'air', waybill: 'AB-12', facts: { a: 1, b: { c: 2, d: 3 } } }
const report = (more: Record<string, unknown> = {}) => event('dispatched', AT, { ...base, ...more })
const outcome = (...events: ReturnType<typeof event>[]) => {
  const { events: once, conflicts } = deduplicateEvents(events)
  return [once.length, conflicts.map(({ key }) => key)]
}

describe('an event sent again is the same event', () => {
  test.each([
    ['as it was', {}],
    ['with its kit code written otherwise', { sample: ` ${KIT.slice(0, 4)}-${KIT.slice(4).toLowerCase()}` }],
    ['with its waybill written otherwise', { waybill: 'ab 12' }],
    ['with its facts in another order', { facts: { b: { d: 3, c: 2 }, a: 1 } }],
    ['with its facts beside it', { facts: { a: 1 }, b: { c: 2, d: 3 } }],
    ['with another time of writing down', { reportedAt: '2026-10-21T10:00:00Z' }],
    ['with what is absent sent empty', { lot: '', product: null, place: '' }],
  ])('%s', (_, more) => {
    expect(outcome(report(), report(more))).toEqual([1, []])
  })
})

describe('an event of the same source and id is a conflict', () => {
  test.each([
    ['of another sample', { sample: SECOND }],
    ['of another kind', { kind: 'delivered' }],
    ['at another time', { at: '2026-10-20T10:00:01Z' }],
    [
      'at the same instant otherwise written, for `at` is compared as sent',
      { at: '2026-10-20T11:00:00+01:00' },
    ],
    ['in another zone', { zone: 'Europe/Lisbon' }],
    ['at another place', { place: 'CORK' }],
    ['by another service', { service: 'ground' }],
    ['under another waybill', { waybill: 'AB-13' }],
    ['of another product', { product: 'TILE' }],
    ['of another lot', { lot: '7' }],
    ['with a correction', { corrects: 'desk/0' }],
    ['with other facts', { facts: { a: 1, b: { c: 2, d: 4 } } }],
    ['with a fact more', { facts: { ...base.facts, e: 1 } }],
    ['with a number for a text', { facts: { ...base.facts, a: '1' } }],
  ])('%s', (_, more) => {
    expect(outcome(report(), report(more))).toEqual([1, ['desk/1']])
    expect(outcome(report(more), report())).toEqual([1, ['desk/1']])
  })

  test('is listed once, with the first content and the first that differs', () => {
    const { conflicts } = deduplicateEvents([report(), report({ lot: '7' }), report(), report({ lot: '8' })])
    expect(conflicts.map(({ key, events }) => [key, events.map(({ lot }) => lot)])).toEqual([
      ['desk/1', [null, '7']],
    ])
  })

  test('does not arise between two sources', () => {
    expect(outcome(report(), report({ source: 'lab', lot: '7' }))).toEqual([2, []])
  })
})
