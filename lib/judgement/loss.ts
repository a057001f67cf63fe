import type { Milestone } from '@/lib/hold/milestone'
import type { OwedTest } from '@/lib/schedule/owedTests'
import { findLastCut, type LastCut } from '@/lib/schedule/workBack'

/** What can still be saved, and until when (`at`, ms UTC): a sample until its first limit ends, or the day of a test's report. */
export type Loss =
  | { kind: 'sample'; at: number; zone: string; milestone: Milestone }
  | {
      kind: 'report'
      at: number
      zone: string
      /** The last day to cut, where the report's sample is not cut yet. */
      lastCut: LastCut | null
    }

/** What is lost if no sample of a test is reported by its day. `now` in ms UTC. */
export function findReportLoss(owed: OwedTest, isToBeCut: boolean, now: number): Loss | null {
  const report = owed.acts.find(({ act }) => act === 'report')
  if (!report || report.dueAt <= now) return null
  const lastCut = isToBeCut ? findLastCut(owed, now) : null
  return { kind: 'report', at: report.dueAt, zone: report.zone, lastCut }
}
