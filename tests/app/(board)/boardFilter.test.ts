import { describe, expect, test } from 'vitest'
import { formatBoardQuery, readBoardFilter } from '@/app/(board)/boardFilter'

const named = (values: Record<string, string>) => readBoardFilter((key) => values[key])

describe('the query string of a filter', () => {
  test('holds what is filtered by and nothing else', () => {
    expect(formatBoardQuery({})).toBe('')
    expect(formatBoardQuery({ search: '  ', stage: 'received' })).toBe('?stage=received')
    expect(formatBoardQuery({ standing: 'at risk', search: '7KQ2-M94T' })).toBe(
      '?search=7KQ2-M94T&standing=at+risk',
    )
  })

  test('is read back as the same filter', () => {
    const filter = { search: 'cork & felt', stage: 'issued' as const, standing: 'lapsed' as const }
    expect(named(Object.fromEntries(new URLSearchParams(formatBoardQuery(filter))))).toEqual(filter)
  })

  test('loses unusable values written by hand', () => {
    expect(named({ search: ` ${'x'.repeat(300)}`, stage: 'anywhere', standing: 'kept' })).toEqual({
      search: 'x'.repeat(200),
      stage: undefined,
      standing: undefined,
    })
  })
})
