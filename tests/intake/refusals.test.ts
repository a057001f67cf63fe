import { describe, expect, test } from 'vitest'
import { findFaults, findPointers, KIT, readEvent, wire } from './wire'

const without = (...keys: string[]) =>
  Object.fromEntries(Object.entries(wire()).filter(([key]) => !keys.includes(key)))

describe('an event is refused, with a pointer to the field and what would be right,', () => {
  test.each([
    ['without a source', without('source'), '/source', 'source'],
    ['with a source that has a slash', wire({ source: 'desk/2' }), '/source', 'slash'],
    ['with a source of 101 characters', wire({ source: 'x'.repeat(101) }), '/source', 'shorter'],
    ['without an id', without('id'), '/id', 'unique'],
    ['with an id of 201 characters', wire({ id: 'x'.repeat(201) }), '/id', 'shorter'],
    ['without a kind', without('kind'), '/kind', 'collected'],
    ['of another kind', wire({ kind: 'arrived' }), '/kind', 'received'],
    ['of a kind in another case', wire({ kind: 'Collected' }), '/kind', 'collected'],
    ['of a kind that is a name of JavaScript', wire({ kind: 'constructor' }), '/kind', 'collected'],
    ['without a time', without('at'), '/at', 'RFC 3339'],
    ['with a time that is none', wire({ at: '20.10.2026' }), '/at', 'RFC 3339'],
    ['with a date that does not exist', wire({ at: '2026-02-29', zone: 'UTC' }), '/at', 'RFC 3339'],
    ['with a local time and neither zone nor place', wire({ at: '2026-10-20T10:00:00' }), '/at', 'zone'],
    ['with a date and neither zone nor place', wire({ at: '2026-10-20' }), '/at', 'zone'],
    [
      'with a local time at a place that is not in the register',
      wire({ at: '2026-10-20T10:00', place: 'X' }),
      '/at',
      'register',
    ],
    [
      'with an offset that its zone never had then',
      wire({ at: '2026-10-20T10:00:00+02:00', zone: 'Europe/Lisbon' }),
      '/at',
      '+01:00',
    ],
    ['with a zone that does not exist', wire({ zone: 'Europe/Nowhere' }), '/zone', 'Europe/Lisbon'],
    [
      'with a zone that is a name of JavaScript',
      wire({ at: '2026-10-20T10:00', zone: 'constructor' }),
      '/zone',
      'Europe/Lisbon',
    ],
    [
      'with a wrong check character',
      wire({ sample: `${KIT.slice(0, 7)}${KIT.endsWith('0') ? '1' : '0'}` }),
      '/sample',
      'label',
    ],
    ['with a code of another kind', wire({ sample: '1Z999AA10123456784' }), '/sample', 'label'],
    ['with neither sample nor waybill', { ...without('sample'), service: 'air' }, '/waybill', 'sample'],
    ['with neither sample nor service', { ...without('sample'), waybill: '1' }, '/service', 'sample'],
    [
      'with neither sample nor more of a waybill than dashes',
      { ...without('sample'), service: 'air', waybill: ' -- ' },
      '/waybill',
      'sample',
    ],
    [
      'of a box without a code, at no place',
      { ...without('sample'), kind: 'received', service: 'air' },
      '/waybill',
      'place',
    ],
    [
      'with neither sample nor waybill, at a place, of a kind that needs one',
      { ...without('sample'), place: 'CORK', service: 'air' },
      '/waybill',
      'sample',
    ],
    ['with a correction that names no source', wire({ corrects: 'e0' }), '/corrects', 'source/id'],
    ['with a correction that names no id', wire({ corrects: 'desk/' }), '/corrects', 'source/id'],
    ['as a withdrawal of nothing', wire({ kind: 'withdrawn' }), '/corrects', 'corrects'],
    [
      'as an extension of no limit',
      wire({ kind: 'extended', facts: { until: '2026-11-01T10:00Z' } }),
      '/facts',
      'facts.limit',
    ],
    [
      'as an extension without an end',
      wire({ kind: 'extended', facts: { limit: 'a' } }),
      '/facts',
      'facts.until',
    ],
    [
      'as an extension to a time that is none',
      wire({ kind: 'extended', facts: { limit: 'a', until: 'soon' } }),
      '/facts',
      'RFC 3339',
    ],
    [
      'as a receipt with a condition that is a text',
      wire({ kind: 'received', condition: 'good' }),
      '/facts/condition',
      'seal, sealNumber',
    ],
    [
      'as a receipt with a part of a condition that does not exist',
      wire({ kind: 'received', facts: { condition: { seel: 'broken' } } }),
      '/facts/condition',
      'seal, sealNumber',
    ],
    [
      'as a receipt with a seal that is neither',
      wire({ kind: 'received', facts: { condition: { seal: 'torn', airtight: true } } }),
      '/facts/condition/seal',
      'intact, broken, missing, other number',
    ],
    [
      'as a receipt with a temperature as text',
      wire({ kind: 'received', facts: { condition: { temperature: '61' } } }),
      '/facts/condition/temperature',
      'from -100 to 150',
    ],
    [
      'as a fault taken back without a reason',
      wire({ kind: 'withdrawn', corrects: 'desk/e0#seal', facts: { reason: ' ' } }),
      '/facts/reason',
      'facts.reason',
    ],
    [
      'as a fault taken back of a whole consignment',
      {
        ...without('sample'),
        kind: 'withdrawn',
        service: 'air',
        waybill: '1',
        corrects: 'desk/e0#seal',
        reason: 'a slip',
      },
      '/sample',
      'kit code',
    ],
    ['with a `reportedAt` that is no time', wire({ reportedAt: 'yesterday' }), '/reportedAt', 'RFC 3339'],
    ['with facts that are a text', wire({ facts: 'sealed' }), '/facts', '{'],
    ['with facts that are a list', wire({ facts: [1] }), '/facts', '{'],
    ['with a fact said twice, differently', wire({ facts: { seal: 1 }, seal: 2 }), '/facts', 'once'],
    ['with facts of more than 16 KiB', wire({ facts: { note: 'x'.repeat(16_384) } }), '/facts', 'short'],
    ['with a list where a text should be', wire({ lot: ['7'] }), '/lot', 'quotes'],
    ['with a broken number where a text should be', wire({ waybill: 1.5 }), '/waybill', 'quotes'],
    [
      'with a number that JSON cannot carry whole',
      wire({ waybill: Number('12345678901234567890') }),
      '/waybill',
      'quotes',
    ],
    ['with yes or no where a text should be', wire({ lot: true }), '/lot', 'quotes'],
  ])('%s', (_, value, pointer, right) => {
    const found = findFaults(value)
    expect(found.map((fault) => fault.pointer)).toEqual([pointer])
    expect(found[0]?.right).toContain(right)
  })

  test.each([[null], [7], ['collected'], [true]])('if it is %o', (value) => {
    expect(findPointers([value])).toEqual([''])
  })

  test('if it is a list within a list', () => {
    expect(findPointers([[wire()]])).toEqual([''])
  })

  test('with all its faults at once', () => {
    const found = findPointers({
      source: 'a/b',
      sample: '123',
      kind: 'arrived',
      at: 'noon',
      corrects: 'x',
      lot: [],
    })
    expect(found.sort()).toEqual(['/at', '/corrects', '/id', '/kind', '/lot', '/sample', '/source'])
  })
})

describe('an event is accepted', () => {
  test('with a source of 100 characters and an id of 200, however many bytes they take', () => {
    expect(readEvent(wire({ source: '𝄞'.repeat(100), id: 'é'.repeat(200) })).source).toHaveLength(200)
  })

  test('with a whole number instead of a text', () => {
    expect(readEvent(wire({ id: 17, waybill: 900719925474 }))).toMatchObject({
      id: '17',
      waybill: '900719925474',
    })
  })

  test('with a local time or a date, at a place or in a zone that is known', () => {
    expect(readEvent(wire({ at: '2026-10-20T10:00', place: 'CORK' })).earliestAt).toBe(
      Date.parse('2026-10-20T09:00Z'),
    )
    expect(readEvent(wire({ at: '2026-10-20', zone: 'Asia/Kolkata' })).earliestAt).toBe(
      Date.parse('2026-10-19T18:30Z'),
    )
  })

  test('at a place that is not in the register, if its time has an offset', () => {
    expect(readEvent(wire({ place: 'X' })).place).toBe('X')
  })

  test('of a consignment, with both service and waybill, which stay as they were sent', () => {
    expect(readEvent(wire({ sample: '', service: 'air', waybill: ' ab-12' }))).toMatchObject({
      sample: null,
      service: 'air',
      waybill: ' ab-12',
    })
  })

  test('with its kit code in any spelling', () => {
    expect(readEvent(wire({ sample: ` ${KIT.slice(0, 4)}-${KIT.slice(4)} `.toLowerCase() })).sample).toBe(KIT)
  })

  test('with a `reportedAt` in the offset of an office elsewhere', () => {
    const event = readEvent(
      wire({ at: '2026-10-20T10:00', zone: 'America/New_York', reportedAt: '2026-10-20T17:00:00+02:00' }),
    )
    expect(event.reportedAt).toBe(Date.parse('2026-10-20T15:00Z'))
    const local = readEvent(
      wire({ at: '2026-10-20T10:00', zone: 'America/New_York', reportedAt: '2026-10-20T11:00' }),
    )
    expect(local.reportedAt).toBe(Date.parse('2026-10-20T15:00Z'))
  })

  test('with a dash as waybill, which counts as none', () => {
    expect(readEvent(wire({ service: 'air', waybill: '-' })).waybill).toBeNull()
  })
})
