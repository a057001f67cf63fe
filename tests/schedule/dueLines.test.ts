import { expect, test } from 'vitest'
import { findOwedTests, listDueLines } from '@/lib/schedule/owedTests'
import { iso, ms } from '../custody/desk'
import { type EventInput, kit, makeProgramme } from './programme'

const lines = (now: string, ...said: EventInput[]) =>
  listDueLines(findOwedTests(makeProgramme(now, [[kit('AAAA222'), said]]), 0), ms(now)).map(
    ({ acts, dueAt }) => [acts.join(' and '), iso(dueAt)],
  )

const IN_LABORATORY = [
  ['receive', '2026-11-06T04:59:59.999Z'],
  ['load', '2026-11-07T04:59:59.999Z'],
  ['end test', '2026-11-21T04:59:59.999Z'],
  ['report', '2026-12-01T04:59:59.999Z'],
]

test('acts are listed by due day, and those of one actor on one day share a line', () => {
  expect(lines('2026-10-20T00:00:00Z')).toEqual([
    ['cut and hand over', '2026-11-02T23:59:59.999Z'],
    ...IN_LABORATORY,
  ])
})

test('an act that is done is no longer due, and one that is late is overdue', () => {
  expect(lines('2026-10-30T12:00:00Z', ['collected', '2026-10-30T10:00:00Z'])).toEqual([
    ['hand over', '2026-11-02T23:59:59.999Z'],
    ...IN_LABORATORY,
  ])
  expect(lines('2026-11-02T23:59:59.999Z').length).toBe(5)
  expect(lines('2026-11-03T00:00:00Z')).toEqual(IN_LABORATORY)
})
