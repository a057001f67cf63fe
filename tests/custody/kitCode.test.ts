import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import {
  checkCharacter,
  diagnoseKitCode,
  formatKitCode,
  generateKitCode,
  isKitCode,
  isOneTypoApart,
  listTypos,
  toCanonical,
} from '@/lib/custody/kitCode'
import { code, KIT, SECOND } from './desk'

describe('a kit code', () => {
  test('is compared without case, blanks and hyphens of any kind', () => {
    for (const text of [' aaaa-222m ', 'AAAA 222M', 'aaaa\u00a0222m', 'AAAA\u2011222M', 'A-A-A-A-2-2-2-M'])
      expect(toCanonical(text)).toBe('AAAA222M')
  })

  test('has eight characters, the last of which is a check character', () => {
    expect(isKitCode(KIT)).toBe(true)
    expect(isKitCode(KIT.slice(0, 7))).toBe(false)
    expect(isKitCode(`${KIT}0`)).toBe(false)
    expect(isKitCode(KIT.toLowerCase())).toBe(false)
    expect(isKitCode(KIT.slice(0, 7) + (KIT.endsWith('Z') ? 'Y' : 'Z'))).toBe(false)
  })

  test('is shown in two groups of four', () => {
    expect(formatKitCode('AAAA222M')).toBe('AAAA-222M')
    expect(toCanonical(formatKitCode(KIT))).toBe(KIT)
  })

  test('that is generated is valid, and has no 0 O 1 I in its first seven characters', () => {
    fc.assert(
      fc.property(
        fc.infiniteStream(fc.double({ min: 0, max: 1, maxExcluded: true, noNaN: true })),
        (numbers) => {
          const issued = generateKitCode(() => numbers.next().value as number)
          expect(isKitCode(issued)).toBe(true)
          expect(issued.slice(0, 7)).not.toMatch(/[0O1I]/)
        },
      ),
    )
  })

  test('has only 0-9 A-Z: nothing else has a check character', () => {
    expect(() => checkCharacter('ABC-123')).toThrow(RangeError)
    expect(() => checkCharacter('abc')).toThrow(RangeError)
  })
})

describe('a text in place of a kit code', () => {
  test('is a kit code, a typo, or a code of another kind', () => {
    expect(diagnoseKitCode(` ${KIT.toLowerCase()}`).verdict).toBe('kit code')
    const slip = (KIT[0] === 'B' ? 'C' : 'B') + KIT.slice(1)
    expect(diagnoseKitCode(slip).verdict).toBe('typo')
    for (const other of ['', '123', '1Z999AA10123456784', 'ÄBCDEFGH', 'ABCD_123']) {
      expect(diagnoseKitCode(other, [KIT])).toEqual({ verdict: 'another kind', nearest: [] })
    }
  })

  test('is near known codes one character or one swap of neighbours away', () => {
    const known = [SECOND, KIT]
    const wrong = `${KIT.slice(0, 3)}7${KIT.slice(4)}`
    expect(diagnoseKitCode(wrong, known)).toEqual({ verdict: 'typo', nearest: [KIT] })
    const mixed = code('ABCD234')
    const swapped = `${mixed[0]}${mixed[2]}${mixed[1]}${mixed.slice(3)}`
    expect(diagnoseKitCode(swapped, [KIT, mixed, SECOND]).nearest).toEqual([mixed])
    expect(diagnoseKitCode(KIT, known)).toEqual({ verdict: 'kit code', nearest: [] })
  })

  test.each([
    ['ABCD', 'ABCE', true],
    ['ABCD', 'BACD', true],
    ['ABCD', 'ABDC', true],
    ['ABCD', 'ABCD', false],
    ['ABCD', 'BADC', false],
    ['ABCD', 'CBAD', false],
    ['ABCD', 'AXXD', false],
    ['ABCD', 'ABC', false],
  ])('%s and %s: one typo apart: %s', (a, b, expected) => {
    expect(isOneTypoApart(a, b)).toBe(expected)
    expect(isOneTypoApart(b, a)).toBe(expected)
  })

  test('has all kit codes one typo away listed', () => {
    const wrong = `${KIT.slice(0, 3)}7${KIT.slice(4)}`
    const found = listTypos(wrong)
    expect(found).toContain(KIT)
    expect(found.every((one) => isKitCode(one) && isOneTypoApart(one, wrong))).toBe(true)
    // Each of the eight places has exactly one character that makes the check right (the scheme catches every other).
    expect(
      found.filter((one) => [...one].filter((character, index) => character !== wrong[index]).length === 1),
    ).toHaveLength(8)
  })
})
