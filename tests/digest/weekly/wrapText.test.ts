import { expect, test } from 'vitest'
import { wrapText } from '@/lib/digest/weekly/lineText'

test('a paragraph is broken at blanks into lines of at most 76 characters, and loses no word', () => {
  const text = `Cut ${'and record '.repeat(40)}it.`
  const lines = wrapText(text, '* ').split('\n')
  expect(lines.every((line) => line.length <= 76)).toBe(true)
  expect(lines.length).toBeGreaterThan(5)
  expect(lines[0]).toMatch(/^\* Cut/)
  expect(lines.slice(1).every((line) => /^ {2}\S/.test(line))).toBe(true)
  expect(lines.map((line) => line.replace(/^\* /, '').trim()).join(' ')).toBe(text)
})

test('a word longer than a line has a line of its own', () => {
  const long = 'x'.repeat(90)
  expect(wrapText(`Before ${long} after`)).toBe(`Before\n${long}\nafter`)
})
