import { describe, expect, test } from 'vitest'
import { boardAddress, filterNamed } from '@/app/(board)/boardAddress'

const named = (values: Record<string, string>) => filterNamed((key) => values[key])

describe('the address of a filter', () => {
  test('names what is filtered by and nothing else', () => {
    expect(boardAddress({})).toBe('')
    expect(boardAddress({ search: '  ', stage: 'received' })).toBe('?stage=received')
    expect(boardAddress({ standing: 'at risk', search: '7KQ2-M94T' })).toBe(
      '?search=7KQ2-M94T&standing=at+risk',
    )
  })

  test('is read back as the same filter', () => {
    const filter = { search: 'cork & felt', stage: 'issued' as const, standing: 'lapsed' as const }
    expect(named(Object.fromEntries(new URLSearchParams(boardAddress(filter))))).toEqual(filter)
  })

  test('written by hand, loses what cannot be used', () => {
    expect(named({ search: ` ${'x'.repeat(300)}`, stage: 'anywhere', standing: 'kept' })).toEqual({
      search: 'x'.repeat(200),
      stage: undefined,
      standing: undefined,
    })
  })
})
