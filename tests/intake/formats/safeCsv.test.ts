import { parse } from 'csv-parse/sync'
import { expect, test } from 'vitest'
import { formatCsv } from '@/lib/intake/formats/safeCsv'

test.each([
  '=1+1',
  '+1',
  '-1',
  '@SUM(A1)',
  '\t=1',
  '\r=1',
  '\n=1',
  ' =1',
  '\uFEFF=1',
  '＝1',
  '＋1',
  '－1',
  '＠a',
])('a cell that begins like a formula gets an apostrophe: %j', (cell) =>
  expect(parse(formatCsv([[cell, 'a']]))).toEqual([[`'${cell}`, 'a']]),
)

test.each(['a=1', '{"a":"=1"}', '192.0.2.1', 'says "no", twice', 'two\r\nlines', ''])(
  'another stays as it is: %j',
  (cell) => expect(parse(formatCsv([[cell, 'a']]))).toEqual([[cell, 'a']]),
)
