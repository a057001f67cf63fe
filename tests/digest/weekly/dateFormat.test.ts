import { expect, test } from 'vitest'
import { createDateFormat } from '@/lib/digest/weekly/dateFormat'
import { english } from '@/lib/messages/english'

const asOf = Date.parse('2026-10-20T12:00:00Z')
const format = (zone: string, language = 'en-GB') => createDateFormat(english, language, { zone, asOf })

test('a time names its zone as pages do, whatever the language of the dates', () => {
  const at = Date.parse('2026-10-30T22:10:00Z')
  expect(format('America/Chicago').time(at, 'America/Chicago')).toBe('Fri 30 October at 17:10 Chicago')
  expect(format('America/Chicago', 'de').deadline(at)).toMatch(/17:10 Chicago$/)
  expect(format('Asia/Calcutta').time(at, 'Asia/Calcutta')).toMatch(/03:40 Kolkata$/)
  expect(format('UTC').time(at, 'Etc/GMT+6')).toMatch(/16:10 UTC−6$/)
})

// The clocks of Chicago show 01:30 twice on 1 November 2026.
test.each([
  ['2026-11-01T06:30:00Z', '01:30 (-05:00) Chicago'],
  ['2026-11-01T07:30:00Z', '01:30 (-06:00) Chicago'],
])('a time that the clocks show twice has its offset: %s', (at, shown) => {
  expect(format('UTC').time(Date.parse(at), 'America/Chicago')).toContain(shown)
})
