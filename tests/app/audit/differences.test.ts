import { describe, expect, test } from 'vitest'
import { listDifferences } from '@/app/audit/differences'
import { english } from '@/lib/messages/english'

describe('what differs between before and after', () => {
  test.each<[string, unknown, unknown, unknown[]]>([
    ['nothing, where all is the same', { a: 1, b: [2] }, { b: [2], a: 1 }, []],
    ['a value', { a: 1, b: 2 }, { a: 1, b: 3 }, [{ place: 'b', before: '2', after: '3' }]],
    ['a value that is new', null, { a: 1 }, [{ place: 'a', before: null, after: '1' }]],
    ['a value that is gone', { a: false }, null, [{ place: 'a', before: 'false', after: null }]],
    ['a value within', { a: { b: 1 } }, { a: { b: 2 } }, [{ place: 'a, b', before: '1', after: '2' }]],
    [
      'a list of plain values, whole',
      { days: ['mon'] },
      { days: ['mon', 'tue'] },
      [{ place: 'days', before: 'mon', after: 'mon, tue' }],
    ],
    ['an emptied list', { days: ['mon'] }, { days: [] }, [{ place: 'days', before: 'mon', after: 'none' }]],
    ['plain values themselves', 'a', 'b', [{ place: '', before: 'a', after: 'b' }]],
  ])('%s', (_, before, after, found) => expect(listDifferences(english, before, after)).toEqual(found))

  test('an entry of a list by its code or name, not by its position', () => {
    const before = {
      limits: [
        { name: 'cut to chamber', amount: 10 },
        { name: 'dock', amount: 3 },
      ],
    }
    const after = {
      limits: [
        { name: 'dock', amount: 3 },
        { name: 'cut to chamber', amount: 8 },
      ],
    }
    expect(listDifferences(english, before, after)).toEqual([
      { place: 'limits, cut to chamber, amount', before: '10', after: '8' },
    ])
  })
})
