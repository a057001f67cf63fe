import { expect, test } from 'vitest'
import { formatIsoDate, parseIsoDate } from '@/lib/hold/zone'
import { english } from '@/lib/messages/english'
import { findOwedTests } from '@/lib/schedule/owedTests'
import { findLastCut, formatLastCut } from '@/lib/schedule/workBack'
import { makeProgramme, makeRegister, PACE } from './programme'

/** The report is due on Monday 30 November 2026 in New York; 5 November is the last day of receipt there. */
const owedAt = (medianDays: number | null, register = makeRegister({ pickups: [] })) => {
  const pace = { ...PACE, medianTransitDays: () => medianDays }
  const [owed] = findOwedTests(makeProgramme('2026-11-01T12:00:00Z', [], { pace, register }), 0)
  if (!owed) throw new Error('A test is owed.')
  return owed
}
const lastDay = (medianDays: number | null, register?: ReturnType<typeof makeRegister>) => {
  const day = owedAt(medianDays, register).lastCut?.dueDay
  return day === undefined ? null : formatIsoDate(day)
}

test('the last cut is planned backwards by the median transit time', () => {
  // Three open days are the 90th percentile: the cut is on its planned day, Monday 2 November.
  expect(lastDay(3)).toBe('2026-11-02')
  expect(lastDay(2)).toBe('2026-11-03')
  expect(lastDay(1)).toBe('2026-11-04')
  // The carrier calls on Mondays and Fridays only.
  expect(lastDay(1, makeRegister())).toBe('2026-11-02')
  expect(lastDay(null)).toBeNull()
  expect(findLastCut(owedAt(null), 0)).toBeNull()
})

test('a sample can be cut through the end of that day at the plant, and not after', () => {
  const owed = owedAt(2)
  const day = parseIsoDate('2026-11-03')
  const at = (text: string) => findLastCut(owed, Date.parse(text))
  expect(at('2026-11-03T23:59:59.999Z')).toEqual({ day, zone: 'Europe/Lisbon' })
  expect(at('2026-11-04T00:00:00Z')).toEqual({ day: null, zone: 'Europe/Lisbon' })
})

test('the last cut is a sentence, also when its day is over', () => {
  const sentence = (day: number | null, sample = 'it') =>
    formatLastCut(
      english,
      { day, zone: 'Europe/Lisbon' },
      sample,
      (one, zone) => `${formatIsoDate(one)} ${zone}`,
    )
  expect(sentence(0)).toBe(
    'Its report can still be in time if it is cut by 1970-01-01 Europe/Lisbon and travels as fast as half of all shipments on its lane.',
  )
  expect(sentence(0, '7KQ2-M94Y')).toMatch(/ if 7KQ2-M94Y is cut by /)
  expect(sentence(null)).toBe('Its report can hardly be in time any more, even if it is cut today.')
})
