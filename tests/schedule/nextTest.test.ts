import { describe, expect, test } from 'vitest'
import type { DutyContent } from '@/lib/custody/testingEntries'
import { formatIsoDate } from '@/lib/hold/zone'
import { findNextTest, findOwedTests } from '@/lib/schedule/owedTests'
import { makeProgramme, makeRegister, PACE } from './programme'

const YEARLY = makeRegister().duties.get('YEARLY') as DutyContent
const at = (now: string, duty: Partial<DutyContent> = {}, more: Parameters<typeof makeProgramme>[2] = {}) =>
  findNextTest({ ...YEARLY, ...duty }, makeProgramme(now, [], more), 2)

describe('the next test of a duty that need not be entered yet', () => {
  test('has the dates that it will have once the duty is entered', () => {
    const now = '2026-10-15T12:00:00Z'
    const owed = findOwedTests(makeProgramme(now, []), 0).filter(({ duty }) => duty === 'YEARLY')
    const found = at(now)
    expect(found?.test).toEqual(owed[0])
    expect(found?.test.acts.map(({ act }) => act)[0]).toBe('post kit')
    expect(found?.laterDays.map(formatIsoDate)).toEqual(['2027-11-30', '2028-11-30'])
  })

  test('is the one whose report is not due before today, at the laboratory', () => {
    const day = (now: string) => formatIsoDate(at(now)?.test.dueDay ?? 0)
    expect(day('2026-12-01T04:59:59.999Z')).toBe('2026-11-30')
    expect(day('2026-12-01T05:00:00Z')).toBe('2027-11-30')
  })

  test('has no day for acts before receipt while the lane’s transit time is unknown', () => {
    const pace = { ...PACE, p90TransitDays: () => null }
    expect(at('2026-10-15T12:00:00Z', {}, { pace })?.test.acts[0]?.act).toBe('receive')
  })

  test('does not exist for a duty whose only test is past, nor for an unknown product or laboratory', () => {
    const now = '2026-10-15T12:00:00Z'
    expect(at(now, { everyMonths: undefined })).toBeNull()
    expect(at(now, { product: 'NOWHERE', family: undefined })).toBeNull()
    expect(at(now, { laboratory: 'NOWHERE' })).toBeNull()
  })

  test('is the only test of a duty that is owed once', () => {
    const found = at('2026-10-15T12:00:00Z', { everyMonths: undefined, first: '2026-12-15' })
    expect([formatIsoDate(found?.test.dueDay ?? 0), found?.laterDays]).toEqual(['2026-12-15', []])
  })
})
