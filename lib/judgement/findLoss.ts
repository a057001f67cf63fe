import { canBind } from '@/lib/hold/standing'
import { type ActName, SAMPLE_ACTS } from './acts'
import { findReportLoss, type Loss } from './loss'
import type { SampleContext } from './sampleContext'

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

function findSampleLoss({ sample, now, laboratory }: SampleContext): Loss | null {
  const [first] = sample.clocks
    .flatMap(({ limit, dueAt, ...clock }) =>
      dueAt !== null && canBind({ limit, dueAt, ...clock }) ? [{ at: dueAt, milestone: limit.to }] : [],
    )
    .sort((a, b) => a.at - b.at)
  return first === undefined || first.at <= now ? null : { kind: 'sample', zone: laboratory.zone, ...first }
}
