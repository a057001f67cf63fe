import { describe, expect, test } from 'vitest'
import { createBoxName, readScan, splitScan } from '@/app/receiving/readScan'
import { checkCharacter } from '@/lib/custody/kitCode'
import { english } from '@/lib/messages/english'

const kit = (seven: string) => seven + checkCharacter(seven)
const [listed, ticked, other, atPlant] = [kit('ABCD234'), kit('TCKD234'), kit('XYZW789'), kit('DESK234')]
const received = kit('GONE234')
const KNOWN = {
  [atPlant]: { text: 'cut today.', isReceived: false },
  [received]: { text: 'on the dock since today.', isReceived: true },
}

test.each([
  ['', null, 'Scan or type the code'],
  [listed, { act: 'tick', code: listed }, 'is ticked'],
  [` ${listed.slice(0, 4).toLowerCase()}-${listed.slice(4)}\r\n`, { act: 'tick', code: listed }, 'is ticked'],
  [ticked, { act: 'open', code: ticked }, 'The condition of'],
  [other, { act: 'add', code: other }, 'is not on this list'],
  [atPlant, { act: 'add', code: atPlant }, 'is not awaited: cut today.'],
  [received, null, 'is received already, and is left out: on the dock since today.'],
  // ISO/IEC 15424: `]C1` is Code 128 with FNC1, `]d2` a GS1 Data Matrix, `]Q0` a QR code.
  [`]C1${listed}`, { act: 'tick', code: listed }, 'is ticked'],
  [`]d2\u001d${listed.toLowerCase()}\u001d\t`, { act: 'tick', code: listed }, 'is ticked'],
  [`\u001d]Q0 ${ticked}\r`, { act: 'open', code: ticked }, 'The condition of'],
  [`]C1${listed.replace('2', '3')}`, null, 'wrong check character'],
  [listed.replace('2', '3'), null, 'wrong check character'],
  ['https://example.org/a parcel', null, 'is not a kit code'],
])('scanning “%s” does %o and answers “%s”', (text, done, answer) => {
  const read = readScan(text, [listed, ticked], [ticked], KNOWN)
  expect(read).toMatchObject(done ?? { act: null })
  expect(english.message(read.answer)).toContain(answer)
})

describe('what a scanner typed into another field', () => {
  test.each([
    [`21.5${listed}`, { before: '21.5', from: 4, code: listed }],
    [
      `a dent ${listed.slice(0, 4).toLowerCase()}-${listed.slice(4)}`,
      { before: 'a dent', from: 7, code: listed },
    ],
    [`21.5]C1${listed}\u001d`, { before: '21.5', from: 4, code: listed }],
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
