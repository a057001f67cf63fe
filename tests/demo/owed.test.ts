import { describe, expect, test } from 'vitest'
import { parseRegister } from '@/lib/custody/parseRegister'
import { listEntries, Register } from '@/lib/custody/register'
import { getWeekday } from '@/lib/hold/zone'
import { OVERDUE_KINDS } from '@/lib/judgement/overdueKinds'
import { findOwedTests } from '@/lib/schedule/owedTests'
import { findProgrammeOverdue } from '@/tests/judgement/programmeOverdue'
import { assessDemo, countTexts } from './assessDemo'

/** 90th and 95th percentiles, as a transit model of the demo's lanes would give them. */
const PACE = {
  medianTransitDays: () => 2,
  p90TransitDays: () => 4,
  p95TransitDays: () => 5,
  p95LoadDays: () => 3,
  p95ReportDays: () => 30,
}

describe.each(['2026-11-25T12:00:00Z', '2027-03-29T06:00:00Z'])('what is owed in the demo at %s', (now) => {
  const demo = assessDemo(now)
  const { document } = parseRegister(JSON.parse(JSON.stringify(demo.register)))
  if (!document) throw new Error('the register is refused')
  const programme = {
    register: new Register(listEntries(document, Number.NEGATIVE_INFINITY)),
    samples: demo.samples,
    pace: PACE,
    office: { zone: 'UTC', isOpen: (day: number) => ![0, 6].includes(getWeekday(day)) },
    now: demo.now,
  }

  test('has every kind of overdue task, and not too many', () => {
    const found = findProgrammeOverdue(programme)
    const counts = countTexts(found.map(({ kind }) => kind))
    for (const kind of OVERDUE_KINDS)
      expect(counts[kind] ?? 0, `${kind} of ${JSON.stringify(counts)}`).toBeGreaterThan(0)
    expect(found.length).toBeLessThan(200)
  })

  test('has tests ahead, of products and of families, some before a certificate expires', () => {
    const owed = findOwedTests(programme, 400)
    expect(owed.length).toBeGreaterThan(8)
    expect(owed.some(({ family }) => family !== null)).toBe(true)
    expect(owed.some(({ reason: because }) => because === 'certificate')).toBe(true)
  })
})
