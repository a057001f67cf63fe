import { describe, expect, test } from 'vitest'
import { english } from '@/lib/messages/english'
import { findSharedSources, findSourceFault, type SourceKey } from '@/lib/policy/keyOwner'

const NOW = Date.parse('2026-10-20T12:00:00Z')

const plantKey = (name: string, ...plants: string[]): SourceKey => ({
  name,
  sources: ['mes'],
  sides: ['plant'],
  plants,
  laboratories: null,
  expiresAt: null,
  revokedAt: null,
  lastUsedAt: NOW - 1,
})
const A = plantKey('a', 'PL1')
const B = plantKey('b', 'PL2')
const LABORATORY: SourceKey = {
  ...A,
  name: 'l',
  sides: ['laboratory'],
  plants: null,
  laboratories: ['PL1'],
}
const PROGRAMME: SourceKey = { ...A, name: 'p', sides: ['programme'], plants: null }
const CARRIER: SourceKey = { ...PROGRAMME, name: 'c', sides: ['carrier'] }
const former = (key: SourceKey): SourceKey => ({ ...key, revokedAt: NOW })

function refusal(key: SourceKey, ...others: SourceKey[]): string | null {
  const fault = findSourceFault(key, others, NOW)
  return fault && english.message(fault.detail)
}

describe('a source for which another owner’s key speaks', () => {
  test.each([B, LABORATORY, PROGRAMME, CARRIER, plantKey('ab', 'PL1', 'PL2')])(
    'is refused: $name',
    (other) => {
      expect(refusal(A, other)).toMatch(`“${other.name}”`)
      expect(refusal(other, A)).toMatch('“a” speaks under “mes” for plant PL1')
    },
  )

  test('is refused for a key of which it is one of several sources', () => {
    expect(refusal({ ...A, sources: ['dock', 'mes'] }, { ...B, sources: ['mes', 'line'] })).toMatch('“mes”')
  })

  test.each([
    ['the same plants in another order', plantKey('x', 'PL2', 'PL1'), plantKey('y', 'PL1', 'PL2')],
    ['the programme', PROGRAMME, PROGRAMME],
    ['one feed of a carrier', CARRIER, CARRIER],
    ['the same laboratory', LABORATORY, LABORATORY],
  ])('is not another’s: %s', (_, key, other) => {
    expect(refusal(key, other)).toBeNull()
  })

  test.each([' mes', 'Mes', 'MES', 'm\u0435s', 'mes 2'])(
    'is another one if written otherwise: %j',
    (source) => {
      expect(refusal({ ...A, sources: [source] }, B)).toBeNull()
    },
  )
})

describe('a source under which a former key of another owner has reported', () => {
  test.each([
    ['revoked', { revokedAt: NOW }],
    ['expired', { expiresAt: NOW }],
  ])('is refused, since its ids are still there: %s', (_, state) => {
    expect(refusal(A, { ...B, ...state })).toMatch(
      '“b”, which no longer works, reported under “mes” for plant PL2',
    )
  })

  test('is free if that key was never used', () => {
    expect(refusal(A, { ...former(B), lastUsedAt: null })).toBeNull()
    expect(refusal(A, { ...B, lastUsedAt: null })).not.toBeNull()
  })

  test('goes on for an owner whose key spoke for it too, so that a shared one can be parted', () => {
    expect(refusal(A, former(A), former(B))).toBeNull()
    expect(refusal(A, A, former(B))).toBeNull()
    expect(refusal(A, { ...former(A), lastUsedAt: null }, former(B))).not.toBeNull()
    expect(refusal(A, former(A), B)).not.toBeNull()
  })

  test('passes to an owner with more places of the same side, and not to one with fewer', () => {
    const both = plantKey('ab', 'PL1', 'PL2')
    expect(refusal(both, former(A), former(B))).toBeNull()
    expect(refusal(A, former(both))).not.toBeNull()
    expect(refusal(PROGRAMME, former(A))).not.toBeNull()
    expect(refusal(A, former(LABORATORY))).not.toBeNull()
  })
})

describe('sources that old keys share', () => {
  test('are found with the active keys of all their owners', () => {
    const other = { ...A, name: 'a2', sources: ['mes', 'line'] }
    expect(findSharedSources([A, B, other, former(PROGRAMME), { ...CARRIER, expiresAt: NOW }], NOW)).toEqual([
      { source: 'mes', keys: [A, B, other] },
    ])
  })

  test('are none if each has one owner', () => {
    expect(findSharedSources([A, A, former(B), { ...B, sources: ['dock'] }], NOW)).toEqual([])
  })
})
