import { expect, test } from 'vitest'
import { readScan } from '@/app/receiving/readScan'
import { checkCharacter } from '@/lib/custody/kitCode'
import { english } from '@/lib/messages/english'

const kit = (seven: string) => seven + checkCharacter(seven)
const [listed, other] = [kit('ABCD234'), kit('XYZW789')]

test.each([
  ['', null, 'Scan or type the code'],
  [listed, listed, 'is ticked'],
  [` ${listed.slice(0, 4).toLowerCase()}-${listed.slice(4)}\r\n`, listed, 'is ticked'],
  [other, null, 'is not on this list'],
  [listed.replace('2', '3'), null, 'wrong check character'],
  ['https://example.org/a parcel', null, 'is not a kit code'],
])('scanning “%s” ticks %s and answers “%s”', (text, code, answer) => {
  const read = readScan(text, [listed])
  expect(read.code).toBe(code)
  expect(english.message(read.answer)).toContain(answer)
})
