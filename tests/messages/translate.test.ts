import { describe, expect, expectTypeOf, test } from 'vitest'
import { chooseLanguage } from '@/lib/messages/chooseLanguage'
import { english } from '@/lib/messages/english'
import { ENGLISH } from '@/lib/messages/language'
import { message } from '@/lib/messages/message'
import { pseudoText } from '@/lib/messages/pseudo'
import { createTranslate } from '@/lib/messages/translate'

/** Translators of few messages: the catalogue's own keys stand for messages of the tests. */
const translate = (text: string, tag = 'en-GB') =>
  createTranslate({ ...ENGLISH, tag, messages: { 'common.footer': text } })
const format = (text: string, values?: object, tag?: string) =>
  translate(text, tag).message({ key: 'common.footer', values: { ...values } })

describe('a message', () => {
  test('is given its values', () => {
    expect(format('{name} is {state}', { name: 'Aspen Mill', state: 'closed' })).toBe('Aspen Mill is closed')
  })

  // CLDR plural rules, https://www.unicode.org/cldr/charts/48/supplemental/language_plural_rules.html: English has one and
  // other; Polish has one, few (2-4, 22-24 …) and many. From memory; the platform's Intl.PluralRules has the same.
  test('counts by the rules of its language', () => {
    const samples = '{count, plural, one {# sample} other {# samples}}'
    expect([0, 1, 2, 1234].map((count) => format(samples, { count }))).toEqual([
      '0 samples',
      '1 sample',
      '2 samples',
      '1,234 samples',
    ])
    const polish = '{count, plural, one {one} few {few} many {many} other {other}}'
    expect([1, 3, 5, 22, 25].map((count) => format(polish, { count }, 'pl'))).toEqual([
      'one',
      'few',
      'many',
      'few',
      'many',
    ])
  })

  test('takes another message as a value', () => {
    const inner = message('common.description')
    expect(format('“{inner}”', { inner })).toBe(`“${english('common.description')}”`)
  })

  test('gives its tags what they enclose', () => {
    const t = translate('Look at <link>the board</link>.')
    const parts = t.parts('common.footer', { link: (text: unknown) => ({ text }) } as never)
    expect(parts).toEqual(['Look at ', { text: ['the board'] }, '.'])
  })
})

test('lists and numbers follow the language', () => {
  expect(english.list(['a', 'b', 'c'])).toBe('a, b and c')
  expect(english.choice(['a', 'b'])).toBe('a or b')
  expect(translate('', 'de').list(['a', 'b'])).toBe('a und b')
  expect(english.number(1234.5)).toBe('1,234.5')
  expect(translate('', 'de').number(1234.5)).toBe('1.234,5')
})

test('days are those of the zone', () => {
  const at = Date.UTC(2026, 9, 30, 23, 30)
  expect(english.date(at, 'UTC', 'weekdayDay')).toBe('Fri 30 Oct')
  expect(english.date(at, 'Asia/Kolkata', 'weekdayDay')).toBe('Sat 31 Oct')
})

test('a value that is missing or superfluous is a type error', () => {
  expectTypeOf(english<'common.footer'>).parameters.toEqualTypeOf<[key: 'common.footer']>()
  // @ts-expect-error a message without values takes none
  expect(() => english('common.footer', { count: 1 })).not.toThrow()
  // @ts-expect-error no such message
  expect(() => english('common.nothing')).toThrow()
})

test('the language is the first that a browser asks for, if the catalogue has it', () => {
  expect(chooseLanguage('en-XA,en;q=0.8').tag).toBe('en-XA')
  for (const header of [null, '', 'en-GB', 'de-DE,de;q=0.9', 'de,en-XA;q=0.1', ';;;,,'])
    expect(chooseLanguage(header).tag).toBe('en-GB')
})

test('the pseudo-locale has no plain letter, and half as much again', () => {
  expect(pseudoText('Handed over')).not.toMatch(/[A-Za-z]/)
  expect(pseudoText('Handed over').length).toBeGreaterThanOrEqual(1.4 * 'Handed over'.length)
})
