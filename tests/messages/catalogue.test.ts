import { parse } from '@formatjs/icu-messageformat-parser'
import { describe, expect, test } from 'vitest'
import { findMessageFaults } from '@/lib/commands/findMessageFaults'
import { en } from '@/lib/messages/en'

const messages = Object.entries<string>(en)

test('nothing in the catalogue is unused, and no language lacks anything', () => {
  const { unused, missing } = findMessageFaults(process.cwd())
  expect(unused).toEqual([])
  expect(Object.values(missing).flat()).toEqual([])
})

describe('each message', () => {
  test('has a key that says where it is used', () => {
    expect(messages.filter(([key]) => !/^[a-z][A-Za-z]*(\.[a-z][A-Za-z0-9]*)+$/.test(key))).toEqual([])
  })

  test('can be parsed', () => {
    for (const [key, text] of messages) expect(() => parse(text), key).not.toThrow()
  })

  test('has typographic apostrophes: a plain one escapes in ICU', () => {
    expect(messages.filter(([, text]) => text.includes("'"))).toEqual([])
  })

  test('has no blank at an end and none twice, so that none is a half', () => {
    expect(messages.filter(([, text]) => text !== text.trim() || / {2}/.test(text))).toEqual([])
  })
})
