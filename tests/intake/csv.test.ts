import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { readCsvRows } from '@/lib/intake/formats/csvRows'
import { getFaults, KIT, readBody } from './wire'

const HEAD = 'source,id,sample,kind,at,lot,facts'
const row = (id: string, lot = '', facts = '') =>
  `desk,${id},${KIT},collected,2026-10-20T10:00:00Z,${lot},${facts}`
const read = (...lines: string[]) => readBody(`${[HEAD, ...lines].join('\n')}\n`, 'csv')
const lots = (body: string) => readBody(body, 'csv').map(({ event }) => (event ? event.lot : 'refused'))

describe('a body of CSV', () => {
  test('has an event a row, and an empty cell is an absent field', () => {
    const [item] = read(row('a'))
    expect(item).toMatchObject({ item: 1, line: 2, problem: null })
    expect(item?.event).toMatchObject({ source: 'desk', id: 'a', sample: KIT, lot: null, facts: null })
  })

  test('may have columns in any order, with blanks around their names, and lack some', () => {
    const [item] = readBody(
      `at , id,kind,sample,source\n2026-10-20T10:00:00Z,a,collected,${KIT},desk\n`,
      'csv',
    )
    expect(item?.event).toMatchObject({ id: 'a', source: 'desk', kind: 'collected' })
  })

  test('may begin with a byte order mark, also before a quoted name', () => {
    expect(readBody(`\ufeff${HEAD}\n${row('a')}`, 'csv')[0]?.event?.source).toBe('desk')
    expect(readBody(`\ufeff"source"${HEAD.slice(6)}\n${row('a')}`, 'csv')[0]?.event?.source).toBe('desk')
  })

  test('may have blank lines, which count as lines but not as items', () => {
    const items = readBody(`\n${HEAD}\n\n${row('a')}\n  \n${row('b')}\n\n`, 'csv')
    expect(items.map(({ item, line, event }) => [item, line, event?.id])).toEqual([
      [1, 4, 'a'],
      [2, 6, 'b'],
    ])
  })

  test('keeps the cells of other columns as facts, and reads the facts column as JSON', () => {
    const [item] = readBody(
      `${HEAD},dock,__proto__\n${row('a', '7', '"{""seal intact"":true}"')},north,x\n`,
      'csv',
    )
    expect(Object.entries(item?.event?.facts ?? {}).sort()).toEqual([
      ['__proto__', 'x'],
      ['dock', 'north'],
      ['seal intact', true],
    ])
  })

  test.each([
    ['is not JSON', 'sealed', ''],
    ['is a list', '[1]', '/facts'],
    ['is a number', '7', '/facts'],
  ])('refuses only the row whose facts column %s', (_, cell, pointer) => {
    const items = read(row('a'), row('b', '', cell), row('c'))
    expect(items.map(({ event }) => event?.id ?? null)).toEqual(['a', null, 'c'])
    expect(getFaults(items[1]).map((fault) => fault.pointer)).toEqual([pointer])
  })

  test.each([
    ['too few', 'desk,b'],
    ['too many', `${row('b')},`],
  ])('refuses only the row of %s cells', (_, text) => {
    const items = read(row('a'), text, row('c'))
    expect(items.map(({ event }) => event?.id ?? null)).toEqual(['a', null, 'c'])
    expect(getFaults(items[1])[0]?.detail).toMatch(/cells, but the header has 7/)
  })

  test.each([
    ['names a column twice', 'source,id,kind,id'],
    ['names none of ours', 'who,what,when'],
    ['has a quote that never closes', '"source,id'],
  ])('cannot be read if its header %s', (_, header) => {
    expect(() => readBody(`${header}\n${row('a')}\n`, 'csv')).toThrow(SyntaxError)
  })

  test('has no items if it is empty', () => {
    expect(readBody('', 'csv')).toEqual([])
    expect(readBody(`${HEAD}\n`, 'csv')).toEqual([])
  })
})

describe('quotes in CSV (RFC 4180, section 2)', () => {
  test.each([
    ['a comma', '"a,b"', 'a,b'],
    ['a quote', '"a ""b"""', 'a "b"'],
    ['a line feed', '"a\nb"', 'a\nb'],
    ['a carriage return alone', '"a\rb"', 'a\rb'],
    ['both', '"a\r\nb"', 'a\r\nb'],
    ['nothing', '""', null],
    ['blanks', '" a "', ' a '],
  ])('hold %s', (_, cell, lot) => {
    const items = read(row('a', cell), row('b', 'next'))
    expect(items.map(({ event }) => event?.lot)).toEqual([lot, 'next'])
  })

  test('may contain lines, and a row has the line on which it begins', () => {
    const items = read(row('a', '"1\n2\n3"'), row('b'), 'desk')
    expect(items.map(({ line }) => line)).toEqual([2, 5, 6])
  })

  test.each([
    ['text after the closing one', '"a"b'],
    ['one within a cell that has none around it', 'a"b'],
    ['one that never closes', '"a'],
    ['a doubled one and none that closes', '"a""'],
  ])('that do not match spoil only their own row: %s', (_, cell) => {
    const items = read(row('a'), row('b', cell), row('c', '7'), row('d', '"8, 9"'))
    expect(items.map(({ event, line }) => [line, event?.id ?? null])).toEqual([
      [2, 'a'],
      [3, null],
      [4, 'c'],
      [5, 'd'],
    ])
    expect(getFaults(items[1])[0]?.right).toContain('RFC 4180')
  })
})

describe('lines of CSV', () => {
  const rows = [HEAD.replace(',facts', ''), ...['1', '2'].map((lot) => row(lot, lot).slice(0, -1))]

  test.each([
    ['line feeds', '\n'],
    ['carriage returns and line feeds', '\r\n'],
    ['carriage returns', '\r'],
  ])('may end in %s', (_, end) => {
    expect(lots(rows.join(end))).toEqual(['1', '2'])
    expect(lots(rows.join(end) + end)).toEqual(['1', '2'])
  })

  test('may end in different ways, as in joined files, and no cell keeps a line break', () => {
    expect(lots(`${rows[0]}\n${rows[1]}\r\n${rows[2]}\r\n`)).toEqual(['1', '2'])
    expect(lots(`${rows[0]}\r\n${rows[1]}\n${rows[2]}\n`)).toEqual(['1', '2'])
  })

  test('that hold a carriage return outside quotes are refused, not cut in two', () => {
    expect(lots(`${rows[0]}\n${rows[1]}\rx\n${rows[2]}\n`)).toEqual(['refused', '2'])
  })
})

test('any cells survive quoting (RFC 4180) unchanged', () => {
  const cell = fc.oneof(fc.string(), fc.string({ unit: fc.constantFrom('"', ',', '\n', '\r', ' ', 'a') }))
  const table = fc.array(fc.array(cell, { minLength: 2, maxLength: 4 }), { maxLength: 6 })
  fc.assert(
    fc.property(table, fc.constantFrom('\n', '\r\n'), (rows, end) => {
      const text = rows
        .map((cells) => cells.map((one) => `"${one.replaceAll('"', '""')}"`).join(','))
        .join(end)
      const head = `"first","row"${end}`
      expect([...readCsvRows(head + text)].slice(1).map(({ cells, fault }) => [cells, fault])).toEqual(
        rows.map((cells) => [cells, null]),
      )
    }),
    { numRuns: 500 },
  )
})
