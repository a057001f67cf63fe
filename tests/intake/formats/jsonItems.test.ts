import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { parseDocument } from '@/lib/intake/formats/jsonDocument'
import { cutJson, measureDepth } from '@/lib/intake/formats/jsonItems'
import { BodyLimitError, DOCUMENT_LIMITS } from '@/lib/intake/formats/limits'

const cutItems = (text: string) => [...cutJson(text)].filter((item) => item !== null)
const cut = (text: string) => cutItems(text).map((item) => JSON.parse(item.text) as unknown)

function parse(read: () => unknown): unknown {
  try {
    return read()
  } catch (error) {
    return (error as Error).name
  }
}

describe('a JSON text cut into the items of its list', () => {
  test('has the items that the whole has', () => {
    fc.assert(
      fc.property(fc.array(fc.jsonValue()), fc.constantFrom(undefined, 1, '\t'), (values, space) => {
        const text = JSON.stringify(values, null, space)
        expect(cut(text)).toEqual(JSON.parse(text))
      }),
    )
  })

  test('is refused if and only if the whole is', () => {
    const part = fc.constantFrom('[', ']', '{', '}', ',', ':', '"', '\\', '"a"', '1', ' ', 'null', '{"a":1}')
    fc.assert(
      fc.property(fc.array(part, { maxLength: 12 }), (parts) => {
        const text = parts.join('')
        const whole = parse(() => [JSON.parse(text)].flat(1))
        expect(parse(() => cut(text))).toEqual(whole)
      }),
      { numRuns: 5_000, examples: [[['[', '1', '}', ']']], [['[', '1', ',', ']']], [['[', ']', '1']]] },
    )
  })

  test('tells how deep each is nested, brackets in strings left out', () => {
    expect(cutItems('[1,{"a":[2]},"[[[\\"[["]').map(({ depth }) => depth)).toEqual([0, 2, 0])
    expect(measureDepth('{"a":{"b":"}"}}')).toBe(2)
  })

  // The lengths put each character of what follows on the border between two steps.
  test('is cut the same where an item is longer than one step, and pauses in it', () => {
    for (const filler of ['a', '\\\\', '\\"', '[', '\\u00e9'])
      for (let length = 131_060; length < 131_090; length += 1) {
        const item = `{"${filler.repeat(length / filler.length)}":[[",]}"],2]}`
        expect(cutItems(`[${item},3]`).map(({ text, depth }) => [text, depth])).toEqual([
          [item, 3],
          ['3', 0],
        ])
      }
    expect([...cutJson(`["${'a'.repeat(500_000)}"]`)].filter((item) => item === null)).toHaveLength(3)
  })
})

/** Parses a document in steps, to its end. */
function parseInSteps(text: string, limits: Partial<typeof DOCUMENT_LIMITS> = {}): unknown {
  const steps = parseDocument(text, { ...DOCUMENT_LIMITS, ...limits })
  for (;;) {
    const step = steps.next()
    if (step.done) return step.value
  }
}

describe('a JSON document parsed in steps', () => {
  test('is what it is when parsed at once', () => {
    fc.assert(
      fc.property(fc.jsonValue(), fc.constantFrom(undefined, 1, '\t'), (value, space) => {
        const text = JSON.stringify(value, null, space)
        expect(parseInSteps(text)).toEqual(JSON.parse(text))
      }),
    )
  })

  test('is refused if and only if it is when parsed at once', () => {
    const part = fc.constantFrom(
      '[',
      ']',
      '{',
      '}',
      ',',
      ':',
      '"',
      '"a"',
      '"a":',
      '"__proto__":',
      '1',
      ' ',
      '{}',
    )
    fc.assert(
      fc.property(fc.array(part, { maxLength: 12 }), (parts) => {
        const text = parts.join('')
        expect(parse(() => parseInSteps(text))).toEqual(parse(() => JSON.parse(text)))
      }),
      { numRuns: 5_000, examples: [[['{', '"a":', '1', '}', '1']], [['{', '"a":', '[', ']', '}']]] },
    )
  })

  test.each([
    ['entries', '{"kits":[{},{}],"plants":[{}]}', { entries: 2 }],
    ['characters', '{"kits":[{"code":"long, long"}]}', { entryLength: 10 }],
    ['values', '{"kits":[[1,2,3,4]]}', { entryValues: 2 }],
    ['levels', '{"remark":{"a":[[1]]}}', { depth: 2 }],
  ])('may not have too many %s', (what, text, limits) => {
    expect(parseInSteps(text)).toEqual(JSON.parse(text))
    expect(() => parseInSteps(text, limits)).toThrow(BodyLimitError)
    expect(() => parseInSteps(text, limits)).toThrow(what)
  })
})
