import type { Milestone } from '@/lib/hold/milestone'
import { canBind } from '@/lib/hold/standing'
import type { OwedTest } from '@/lib/schedule/owedTests'
import { findLastCut, type LastCut } from '@/lib/schedule/workBack'
import { type ActName, SAMPLE_ACTS } from './acts'
import type { SampleContext } from './sampleContext'

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

/** What waiting with an act costs; null if it costs nothing more. */
export function findLoss(act: ActName, context: SampleContext): Loss | null {
  const { sample, now, index } = context
  const { saves } = SAMPLE_ACTS[act]
  const ofSample = saves.includes('sample') ? findSampleLoss(context) : null
  if (ofSample !== null || !saves.includes('report')) return ofSample
  if (context.owed !== null) return findReportLoss(context.owed, act === 'cut it', now)
  const failed = index.findTestOfFailed(sample)
  // What is cut too late for its report saves nothing.
  const canBeInTime = failed !== null && failed.lastCut !== null && failed.lastCut.dueAt >= now
  return canBeInTime ? findReportLoss(failed, false, now) : null
}

/** What is lost if no sample of a test is reported by its day. `now` in ms UTC. */
export function findReportLoss(owed: OwedTest, isToBeCut: boolean, now: number): Loss | null {
  const report = owed.acts.find(({ act }) => act === 'report')
  if (!report || report.dueAt <= now) return null
  const lastCut = isToBeCut ? findLastCut(owed, now) : null
  return { kind: 'report', at: report.dueAt, zone: report.zone, lastCut }
}

function findSampleLoss({ sample, now, laboratory }: SampleContext): Loss | null {
  const [first] = sample.clocks
    .flatMap(({ limit, dueAt, ...clock }) =>
      dueAt !== null && canBind({ limit, dueAt, ...clock }) ? [{ at: dueAt, milestone: limit.to }] : [],
    )
    .sort((a, b) => a.at - b.at)
  return first === undefined || first.at <= now ? null : { kind: 'sample', zone: laboratory.zone, ...first }
}
