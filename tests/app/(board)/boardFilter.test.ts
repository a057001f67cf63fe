import { describe, expect, test } from 'vitest'
import { formatBoardQuery, readBoardFilter } from '@/app/(board)/boardFilter'

const named = (values: Record<string, string>) => readBoardFilter((key) => values[key])

describe('the query string of a filter', () => {
  test('holds what is filtered by and nothing else', () => {
    expect(formatBoardQuery({})).toBe('')
    expect(formatBoardQuery({ search: '  ', stage: 'received' })).toBe('?stage=received')
    expect(formatBoardQuery({ group: 'in question', search: '7KQ2-M94T' })).toBe(
      '?search=7KQ2-M94T&group=in+question',
    )
  })

  test('is read back as the same filter', () => {
    const filter = { search: 'cork & felt', stage: 'issued' as const, group: 'to be replaced' as const }
    expect(named(Object.fromEntries(new URLSearchParams(formatBoardQuery(filter))))).toEqual(filter)
  })

  test('loses unusable values written by hand', () => {
    expect(named({ search: ` ${'x'.repeat(300)}`, stage: 'anywhere', group: 'kept' })).toEqual({
      search: 'x'.repeat(200),
      stage: undefined,
      group: undefined,
    })
  })
})
