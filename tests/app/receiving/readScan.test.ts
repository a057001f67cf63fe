import { describe, expect, test } from 'vitest'
import { createBoxName, readScan, splitScan } from '@/app/receiving/readScan'
import { checkCharacter } from '@/lib/custody/kitCode'
import { english } from '@/lib/messages/english'

const kit = (seven: string) => seven + checkCharacter(seven)
const [listed, ticked, other] = [kit('ABCD234'), kit('TCKD234'), kit('XYZW789')]

test.each([
  ['', null, 'Scan or type the code'],
  [listed, { act: 'tick', code: listed }, 'is ticked'],
  [` ${listed.slice(0, 4).toLowerCase()}-${listed.slice(4)}\r\n`, { act: 'tick', code: listed }, 'is ticked'],
  [ticked, { act: 'open', code: ticked }, 'The condition of'],
  [other, { act: 'add', code: other }, 'is not on this list'],
  [listed.replace('2', '3'), null, 'wrong check character'],
  ['https://example.org/a parcel', null, 'is not a kit code'],
])('scanning “%s” does %o and answers “%s”', (text, done, answer) => {
  const read = readScan(text, [listed, ticked], [ticked])
  expect(read).toMatchObject(done ?? { act: null })
  expect(english.message(read.answer)).toContain(answer)
})

describe('what a scanner typed into another field', () => {
  test.each([
    [`21.5${listed}`, { before: '21.5', code: listed }],
    [`a dent ${listed.slice(0, 4).toLowerCase()}-${listed.slice(4)}`, { before: 'a dent', code: listed }],
    ['a dent', null],
    [`21.5${listed.replace('2', '3')}`, null],
  ])('“%s” is split as %o', (text, found) => {
    expect(splitScan(text)).toEqual(found)
  })
})

test('a box without a code has a name that no other has', () => {
  expect(createBoxName([])).toBe('box1')
  expect(createBoxName(['box1', listed])).toBe('box2')
})
