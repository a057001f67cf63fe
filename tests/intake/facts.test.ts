import { describe, expect, test } from 'vitest'
import { findFaults, KIT, readBody, readEvent, wire } from './wire'

const AS_TEXT = `{"source":"desk","id":"e1","sample":"${KIT}","kind":"collected","at":"2026-10-20T10:00:00Z"`

describe('unknown keys go under the facts', () => {
  test('unchanged, beside the facts given there', () => {
    expect(
      readEvent(wire({ 'seal intact': true, temperature: 21.5, facts: { by: 'gate 2' } })).facts,
    ).toEqual({
      'seal intact': true,
      temperature: 21.5,
      by: 'gate 2',
    })
  })

  test('unless they are empty', () => {
    expect(readEvent(wire({ note: '', facts: {} })).facts).toBeNull()
    expect(readEvent(wire({ facts: '' })).facts).toBeNull()
    expect(readEvent(wire({ facts: null })).facts).toBeNull()
  })

  test('once, if both places agree', () => {
    expect(readEvent(wire({ seal: 1, facts: { seal: 1 } })).facts).toEqual({ seal: 1 })
  })

  test.each(['__proto__', 'constructor', 'toString', 'hasOwnProperty'])(
    'even one called %s, which does nothing',
    (key) => {
      const body = `${AS_TEXT},"${key}":{"zone":"Asia/Kolkata","isCounted":true}}`
      const event = readBody(body)[0]?.event
      expect(event?.zone).toBeNull()
      expect(Object.entries(event?.facts ?? {})).toEqual([[key, { zone: 'Asia/Kolkata', isCounted: true }]])
      expect((event as unknown as Record<string, unknown>).isCounted).toBeUndefined()
      expect(({} as Record<string, unknown>).isCounted).toBeUndefined()
    },
  )

  test('even if a nested one is called __proto__', () => {
    const event = readBody(`${AS_TEXT},"facts":{"__proto__":{"isCounted":true}}}`)[0]?.event
    expect(Object.keys(event?.facts ?? {})).toEqual(['__proto__'])
    expect(event?.facts?.isCounted).toBeUndefined()
  })
})

describe('what cannot be stored unchanged is refused', () => {
  const [nul, half] = ['a\u0000b', 'a\ud800b']

  test.each([
    'source',
    'id',
    'at',
    'place',
    'service',
    'waybill',
    'product',
    'lot',
    'corrects',
    'reportedAt',
  ])('the character NUL, or half of a surrogate pair, in `%s`', (field) => {
    for (const text of [nul, half]) {
      const found = findFaults(wire({ [field]: text }))
      expect(found.map(({ pointer }) => pointer)).toEqual([`/${field}`])
      expect(found[0]?.detail).toMatch(/NUL|surrogate/)
    }
  })

  test.each([
    ['a fact', { note: nul }],
    ['a fact’s key', { [nul]: 1 }],
    ['a fact within facts', { list: [{ deep: half }] }],
  ])('either of them in %s', (_, facts) => {
    expect(findFaults(wire({ facts })).map(({ pointer }) => pointer)).toEqual(['/facts'])
    expect(findFaults(wire(facts)).map(({ pointer }) => pointer)).toEqual(['/facts'])
  })

  test('a whole surrogate pair is accepted', () => {
    expect(readEvent(wire({ lot: '𝄞', facts: { note: '𝄞' } }))).toMatchObject({
      lot: '𝄞',
      facts: { note: '𝄞' },
    })
  })
})

describe('facts that are nested', () => {
  const nested = (levels: number) => `${'{"a":'.repeat(levels)}1${'}'.repeat(levels)}`

  test('sixteen levels deep are accepted, and seventeen are refused', () => {
    expect(readBody(`${AS_TEXT},"facts":${nested(16)}}`)[0]?.problem).toBeNull()
    expect(readBody(`${AS_TEXT},"facts":${nested(17)}}`)[0]?.problem?.errors).toEqual([
      expect.objectContaining({ pointer: '/facts', detail: expect.stringContaining('16') }),
    ])
  })

  test.each([
    ['under facts', `"facts":${nested(100_000)}`],
    ['beside them', `"more":${nested(100_000)}`],
    ['on both sides under one name', `"more":${nested(100_000)},"facts":{"more":1}`],
    ['where a text should be', `"lot":${nested(100_000)}`],
  ])('endlessly are refused without affecting other events: %s', (_, text) => {
    const items = readBody(`[${AS_TEXT},${text}},${AS_TEXT}}]`)
    expect(items.map(({ problem }) => problem?.status ?? null)).toEqual([422, null])
  })
})

test('a receipt takes its condition beside the other facts, and empty parts count as absent', () => {
  const condition = { seal: 'broken', sealNumber: 4711, specimen: null, form: '', temperature: -3.5 }
  expect(readEvent(wire({ kind: 'received', facts: { condition, by: 'gate 2' } })).facts).toEqual({
    condition,
    by: 'gate 2',
  })
  expect(readEvent(wire({ kind: 'received', condition })).facts).toEqual({ condition })
  // The facts of other kinds are free.
  expect(readEvent(wire({ kind: 'scanned', condition: 'good' })).facts).toEqual({ condition: 'good' })
})

test('a receipt in CSV has its condition in the facts', () => {
  const csv = `source,id,sample,kind,at,facts\ndesk,e1,${KIT},received,2026-10-20T10:00:00Z,"{""condition"":{""seal"":""broken""}}"\n`
  const [item] = readBody(csv, 'csv')
  expect(item?.event?.facts).toEqual({ condition: { seal: 'broken' } })
})

test('a withdrawal of an event needs no reason, one of a fault does', () => {
  expect(readEvent(wire({ kind: 'withdrawn', corrects: 'desk/e0' })).facts).toBeNull()
  const facts = { reason: 'looked at the wrong bag' }
  expect(readEvent(wire({ kind: 'withdrawn', corrects: 'desk/e0#seal', facts })).corrects).toBe(
    'desk/e0#seal',
  )
})
