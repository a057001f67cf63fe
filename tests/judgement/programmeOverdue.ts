import { findOverdue } from '@/lib/judgement/overdue'
import type { Overdue } from '@/lib/judgement/overdueKinds'
import { ProgrammeIndex } from '@/lib/judgement/programmeIndex'
import type { Programme } from '@/lib/schedule/owedTests'

/** All that is overdue in a programme. */
export function findProgrammeOverdue(programme: Programme): Overdue[] {
  return findOverdue(new ProgrammeIndex(programme))
}
