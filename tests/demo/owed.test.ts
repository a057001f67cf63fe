import { describe, expect, test } from 'vitest'
import { OVERDUE_KINDS } from '@/lib/judgement/overdueKinds'
import { findOwedTests } from '@/lib/schedule/owedTests'
import { findProgrammeOverdue } from '@/tests/judgement/programmeOverdue'
import { assessDemo, countTexts } from './assessDemo'
import { planDemo } from './planDemo'

describe.each(['2026-11-25T12:00:00Z', '2027-03-29T06:00:00Z'])('what is owed in the demo at %s', (now) => {
  const demo = assessDemo(now)
  const programme = planDemo(demo)

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
