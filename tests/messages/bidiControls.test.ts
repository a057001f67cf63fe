import { describe, expect, test } from 'vitest'
import { showProps } from '@/app/ui/jsx/showProps'
import { nameBidiControls } from '@/lib/messages/bidiControls'
import { english } from '@/lib/messages/english'

/** Unicode Standard Annex #9, "Unicode Bidirectional Algorithm", section 2, tables 1 to 3. */
const CONTROLS = [
  ...[0x061c, 0x200e, 0x200f],
  ...[0x202a, 0x202b, 0x202c, 0x202d, 0x202e],
  ...[0x2066, 0x2067, 0x2068, 0x2069],
]
const OVERRIDE = '\u202e'

test('every bidirectional control character is named, and no other character of Unicode', () => {
  for (let point = 0; point <= 0x10ffff; point += 1) {
    const character = String.fromCodePoint(point)
    const name = `⟨U+${point.toString(16).toUpperCase().padStart(4, '0')}⟩`
    const expected = CONTROLS.includes(point) ? name : character
    if (nameBidiControls(character) !== expected)
      expect([point, nameBidiControls(character)]).toEqual(expected)
  }
})

test('names written from right to left stay as they are', () => {
  for (const name of ['מפעל הצפון 12', 'مصنع الشمال ١٢', 'کارخانه‌ی شمال'])
    expect(nameBidiControls(name)).toBe(name)
})

test('a message names those in its values', () => {
  expect(english('standing.replacedBy', { kit: `A${OVERRIDE}B` })).toBe('replaced by A⟨U+202E⟩B')
  expect(english.parts('standing.replacedBy', { kit: `A${OVERRIDE}B` })).toEqual(['replaced by A⟨U+202E⟩B'])
})

describe('an element', () => {
  const text = `A${OVERRIDE}B`
  const shown = 'A⟨U+202E⟩B'

  test('shows them named in its text and in what is read of it', () => {
    expect(showProps('p', { children: text })).toEqual({ children: shown })
    expect(showProps('p', { children: ['1 ', [text, null]] })).toEqual({ children: ['1 ', [shown, null]] })
    expect(showProps('a', { title: text, 'aria-label': text })).toEqual({ title: shown, 'aria-label': shown })
  })

  test('keeps what is sent back, and what its component reads', () => {
    for (const [type, props] of [
      ['input', { value: text, defaultValue: text, name: text }],
      ['textarea', { children: text, defaultValue: text }],
      ['a', { href: text }],
      [() => null, { title: text }],
    ] as const)
      expect(showProps(type, props)).toBe(props)
  })

  test('is not made anew if it shows none', () => {
    const props = { children: ['plain', 1, null, ['מפעל']] }
    expect(showProps('p', props)).toBe(props)
  })
})
