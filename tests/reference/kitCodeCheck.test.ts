import { describe, expect, test } from 'vitest'
import { checkCharacter, isKitCode } from '@/lib/custody/kitCode'
import { getRunSeed } from '@/tests/setup/seed'
import { chanceFrom } from './random'

// Source: ISO/IEC 7064 MOD 37,36, through published codes that use it. That the scheme catches every single
// substitution is the standard's own claim; the share of swaps is what this programme asks for.

const ALPHABET = '0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ'
const CODES = 1_200

/** Kit codes over the whole alphabet, the easily misread characters included. */
function someCodes(seed: number): string[] {
  const chance = chanceFrom(seed)
  return Array.from({ length: CODES }, () => {
    const seven = Array.from({ length: 7 }, () => chance.pick([...ALPHABET])).join('')
    return seven + checkCharacter(seven)
  })
}

describe('the check character', () => {
  test.each([
    ['A12425GABC1234002', 'M'],
    ['123AB', 'X'],
  ])('of the published code %s is %s', (text, check) => {
    expect(checkCharacter(text)).toBe(check)
  })

  test('catches every single wrong character of more than a thousand codes', () => {
    const seed = getRunSeed()
    const missed: string[] = []
    let tried = 0
    for (const code of someCodes(seed)) {
      for (let index = 0; index < code.length; index += 1)
        for (const character of ALPHABET) {
          if (character === code[index]) continue
          tried += 1
          const wrong = code.slice(0, index) + character + code.slice(index + 1)
          if (isKitCode(wrong)) missed.push(`${code} ${wrong}`)
        }
    }
    expect(tried).toBe(CODES * 8 * 35)
    expect(missed, `seed ${seed}`).toEqual([])
  })

  test('catches at least 99.5 % of swaps of two neighbours', () => {
    const seed = getRunSeed()
    let [tried, caught] = [0, 0]
    for (const code of someCodes(seed))
      for (let index = 0; index + 1 < code.length; index += 1) {
        const [a, b] = [code[index] as string, code[index + 1] as string]
        if (a === b) continue
        tried += 1
        if (!isKitCode(code.slice(0, index) + b + a + code.slice(index + 2))) caught += 1
      }
    expect(tried).toBeGreaterThan(CODES * 6)
    expect(caught / tried, `seed ${seed}`).toBeGreaterThanOrEqual(0.995)
  })
})
