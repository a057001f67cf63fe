import { type Message, message } from '@/lib/messages/message'

/**
 * Kit codes: seven characters of 0-9 A-Z and a check character by ISO/IEC 7064 MOD 37,36.
 *
 * A hybrid system over the 36 alphanumerics: it catches every single wrong character and nearly every swap of two
 * neighbours.
 */

const ALPHABET = '0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ'
/** Letters and digits that nobody mistakes for one another on a dusty label: no 0 O 1 I. */
const UNAMBIGUOUS = '23456789ABCDEFGHJKLMNPQRSTUVWXYZ'
const MODULUS = 36

const KIT_CODE_LENGTH = 8

/** The form in which codes and waybills are compared: upper case, without blanks and hyphens. */
export function toCanonical(text: string): string {
  return text
    .replace(/[\s\u00ad\u2010-\u2015\u2212-]+/gu, '')
    .replace(/[a-z]/g, (letter) => letter.toUpperCase())
}

/** A canonical code for people: two groups of four. */
export function formatKitCode(code: string): string {
  return code.length === KIT_CODE_LENGTH ? `${code.slice(0, 4)}-${code.slice(4)}` : code
}

/**
 * The ISO/IEC 7064 MOD 37,36 check character of a string of 0-9 A-Z, of any length.
 * Errors: RangeError on another character.
 */
export function checkCharacter(text: string): string {
  let product = MODULUS
  for (const character of text) {
    let sum = (product + getCharacterValue(character)) % MODULUS
    if (sum === 0) sum = MODULUS
    product = (sum * 2) % (MODULUS + 1)
  }
  return ALPHABET[(MODULUS + 1 - product) % MODULUS] as string
}

function getCharacterValue(character: string): number {
  const value = ALPHABET.indexOf(character)
  if (value < 0) throw new RangeError(`"${character}" is not one of 0-9 A-Z`)
  return value
}

/** Whether a canonical text is a kit code: eight characters, and the last is the check character of the others. */
export function isKitCode(code: string): boolean {
  return /^[0-9A-Z]{8}$/.test(code) && checkCharacter(code.slice(0, -1)) === code.slice(-1)
}

/** Why a canonical text is not a kit code. */
export function findKitCodeFault(code: string): Message {
  if (!/^[0-9A-Z]{8}$/.test(code)) return message('kitCode.malformed', { code })
  const seven = code.slice(0, 7)
  return message('kitCode.wrongCheck', { code, seven, check: checkCharacter(seven) })
}

/** A new kit code from seven random numbers in [0, 1). Only the check character may be one that is easily misread. */
export function generateKitCode(random: () => number): string {
  let seven = ''
  while (seven.length < KIT_CODE_LENGTH - 1) seven += UNAMBIGUOUS[Math.floor(random() * UNAMBIGUOUS.length)]
  return seven + checkCharacter(seven)
}

/**
 * Tells a kit code from a typo (right length and characters, wrong check) and from a code of another kind. `nearest`
 * are the `known` canonical codes that are one wrong character or one swap of neighbours away.
 */
export function diagnoseKitCode(
  text: string,
  known: Iterable<string> = [],
): { verdict: 'kit code' | 'typo' | 'another kind'; nearest: string[] } {
  const code = toCanonical(text)
  if (!/^[0-9A-Z]{8}$/.test(code)) return { verdict: 'another kind', nearest: [] }
  const nearest = [...known].filter((other) => isOneTypoApart(code, other))
  return { verdict: isKitCode(code) ? 'kit code' : 'typo', nearest }
}

/** Whether two codes of one length differ by one character or by one swap of two neighbours. */
export function isOneTypoApart(a: string, b: string): boolean {
  if (a.length !== b.length || a === b) return false
  let first = 0
  while (a[first] === b[first]) first += 1
  const rest = a.slice(first + 1) === b.slice(first + 1)
  const isSwap =
    a[first] === b[first + 1] && a[first + 1] === b[first] && a.slice(first + 2) === b.slice(first + 2)
  return rest || isSwap
}

/** Every kit code that is one typo away from a canonical code. */
export function listTypos(code: string): string[] {
  const found = new Set<string>()
  for (let index = 0; index < code.length; index += 1) {
    for (const character of ALPHABET) found.add(code.slice(0, index) + character + code.slice(index + 1))
    const swapped =
      code.slice(0, index) + code.slice(index + 1, index + 2) + code[index] + code.slice(index + 2)
    found.add(swapped)
  }
  found.delete(code)
  return [...found].filter(isKitCode)
}

/**
 * Stands for the code of another kit that its reader does not see, because it is another maker's, bound for another
 * laboratory, or unknown.
 */
export const UNSEEN_KIT = ''
