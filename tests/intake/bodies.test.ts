import { describe, expect, test } from 'vitest'
import { type BodyFormat, detectFormat, splitBody, splitItems } from '@/lib/intake/formats/body'
import { BodyLimitError, ITEM_LIMITS, type ItemLimits } from '@/lib/intake/formats/limits'
import { getFaults, readBody, wire } from './wire'

const ids = (body: string, format: 'json' | 'ndjson') =>
  readBody(body, format).map(({ event }) => event?.id ?? null)
const line = (id: string) => JSON.stringify(wire({ id }))
const BOM = '\ufeff'

describe('the format of a body follows its content type', () => {
  test.each([
    ['application/json', 'json'],
    ['application/json; charset=utf-8', 'json'],
    ['Application/JSON', 'json'],
    ['application/x-ndjson', 'ndjson'],
    ['application/ndjson', 'ndjson'],
    ['application/jsonl', 'ndjson'],
    ['text/csv', 'csv'],
    ['text/csv;header=present', 'csv'],
  ])('%s is %s', (type, format) => {
    expect(detectFormat(type)).toBe(format)
  })

  test.each([null, '', 'text/plain', 'application/xml', 'multipart/form-data', 'json', 'constructor'])(
    '%o is none',
    (type) => {
      expect(detectFormat(type)).toBeUndefined()
    },
  )
})

describe('a body of JSON', () => {
  test('is one event or an array of them', () => {
    expect(ids(line('a'), 'json')).toEqual(['a'])
    expect(ids(`[${line('a')},\n${line('b')}]`, 'json')).toEqual(['a', 'b'])
    expect(ids('[]', 'json')).toEqual([])
  })

  test('may begin with a byte order mark', () => {
    expect(ids(BOM + line('a'), 'json')).toEqual(['a'])
  })

  test.each(['', '{', '[1,]', `${line('a')}\n${line('b')}`])(
    'that is not JSON cannot be read: %s',
    (body) => {
      expect(() => readBody(body, 'json')).toThrow(SyntaxError)
    },
  )

  test('numbers its items from one, and refuses single items', () => {
    const items = readBody(`[${line('a')},7,${line('b')}]`, 'json')
    expect(items.map(({ item, line: at, problem }) => [item, at, problem === null])).toEqual([
      [1, null, true],
      [2, null, false],
      [3, null, true],
    ])
    expect(getFaults(items[1]).map(({ pointer }) => pointer)).toEqual([''])
  })
})

describe('a body of one event a line', () => {
  test('may begin with a byte order mark, have blank lines, and end its lines either way', () => {
    expect(ids(`${BOM}${line('a')}\r\n\r\n  \n${line('b')}\n\n`, 'ndjson')).toEqual(['a', 'b'])
  })

  test('may lack its last line break, or be empty', () => {
    expect(ids(`${line('a')}\n${line('b')}`, 'ndjson')).toEqual(['a', 'b'])
    expect(ids('', 'ndjson')).toEqual([])
  })

  test('gives the line of a refused item, counting blank lines, and goes on', () => {
    const items = readBody(`${line('a')}\n\n{"source":\n${line('b')}`, 'ndjson')
    expect(items.map(({ item, line: at }) => [item, at])).toEqual([
      [1, 1],
      [2, 3],
      [3, 4],
    ])
    expect(items.map(({ event }) => event?.id ?? null)).toEqual(['a', null, 'b'])
    expect(items[1]?.problem).toMatchObject({ item: 2, line: 3 })
    expect(getFaults(items[1])[0]?.detail).toContain('not JSON')
  })
})

describe('a body made to exhaust the server', () => {
  const splitWithin = (body: string, format: BodyFormat, limits: Partial<ItemLimits>) =>
    [...splitBody(body, format, { ...ITEM_LIMITS, ...limits })].filter((item) => item !== null)

  test.each([
    ['json', '[1,2,3]'],
    ['ndjson', '1\n\n2\n3'],
    ['csv', 'id\n1\n2\n3'],
  ] as const)('is refused as %s when it has more items than are taken', (format, body) => {
    expect(splitWithin(body, format, { items: 3 })).toHaveLength(3)
    expect(() => splitWithin(body, format, { items: 2 })).toThrow(BodyLimitError)
  })

  test('is refused as CSV when it has more columns than are taken', () => {
    expect(splitWithin('id,kind\n1,2', 'csv', { columns: 2 })).toHaveLength(1)
    expect(() => splitWithin('id,kind,at\n1,2,3', 'csv', { columns: 2 })).toThrow('more than 2 columns')
  })

  test('loses only the row that has more cells than columns are taken', () => {
    const items = splitWithin('id,kind\n1,2\n1,2,3,4,5\n3,4', 'csv', { columns: 2 })
    expect(items.map(({ fault }) => fault?.detail.values ?? null)).toEqual([
      null,
      { cells: 5, columns: 2 },
      null,
    ])
  })

  test.each([
    ['json', '[{"a":1},{"a":"long, long"},{"a":1}]'],
    ['ndjson', '{"a":1}\n{"a":"long, long"}\n{"a":1}'],
    ['csv', 'id\n1\n"long, longer, long"\n2'],
  ] as const)('loses only the item of %s that is too long', (format, body) => {
    const items = splitWithin(body, format, { length: 12 })
    expect(items.map(({ fault }) => fault === null)).toEqual([true, false, true])
  })

  test.each([
    ['json', '[{"a":"[[[["},{"a":[[1]]},7]'],
    ['ndjson', '{"a":"[[[["}\n{"a":[[1]]}\n7'],
    ['csv', 'id,facts\n1,"{""a"":""[[[[""}"\n1,"{""a"":[[1]]}"\n2,7'],
  ] as const)('loses only the item of %s that is nested too deep', (format, body) => {
    const items = splitWithin(body, format, { depth: 2 })
    expect(items.map(({ fault }) => fault?.detail.key ?? null)).toEqual([null, 'intake.item.deep', null])
  })

  test('takes time by its length, even with a hundred thousand columns', () => {
    const header = Array.from({ length: 100_000 }, (_, index) => `column ${index}`).join(',')
    expect(() => splitItems(`${header},column 7`, 'csv')).toThrow('has the column "column 7" twice')
  }, 3_000)

  test('takes time by its length, even with forty thousand facts in both places', () => {
    const many = (name: string) =>
      Object.fromEntries(Array.from({ length: 40_000 }, (_, index) => [`${name} ${index}`, 1]))
    const [item] = readBody(JSON.stringify(wire({ ...many('one'), facts: many('other') })))
    expect(getFaults(item).map(({ pointer }) => pointer)).toEqual(['/facts'])
  })
})
