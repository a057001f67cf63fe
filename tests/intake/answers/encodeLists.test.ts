import fc from 'fast-check'
import { expect, test } from 'vitest'
import { encodeLists } from '@/lib/intake/answers/encodeLists'

test('a document of lists encoded in pieces is the same JSON', () => {
  const lists = fc.dictionary(fc.string(), fc.oneof(fc.jsonValue(), fc.array(fc.jsonValue())), { maxKeys: 3 })
  fc.assert(
    fc.property(lists, (document) => {
      expect(Buffer.concat([...encodeLists(document)]).toString()).toBe(JSON.stringify(document))
    }),
    { examples: [[{ many: Array.from({ length: 1_000 }, (_, n) => ({ n })) }], [{}], [{ none: [] }]] },
  )
})
