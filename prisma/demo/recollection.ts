import { isEnding } from '@/lib/hold/milestone'
import { DAY } from '@/lib/hold/zone'
import type { Batch } from './batches'
import { drawKnownAt, drawOfficeTime } from './deskTimes'
import type { DemoSample, DraftEvent } from './draftEvent'
import type { Piece } from './journey'
import type { Judgement } from './judgement'
import type { KitCodes } from './kitCodes'
import type { RandomStream } from './randomStream'
import type { LocalDay } from './wallClock'
import { writeTime } from './writtenTime'

/**
 * Issues a new kit for most samples of a batch that were lost, returned, rejected or too late, and has the programme
 * office report the replacement. `cutAgain` simulates the new batch; undefined if it cannot.
 */
export function recollect(
  batch: Batch,
  cutAgain: (piece: Piece, cutFrom: LocalDay) => Batch | undefined,
  codes: KitCodes,
  random: RandomStream,
): Batch[] {
  const again: Batch[] = []
  for (const [index, sample] of batch.samples.entries()) {
    const piece = batch.plan.pieces[index]
    const failedAt = findFailedAt(sample, batch.judgements[index])
    if (!piece || failedAt === undefined || piece.purpose !== undefined || !random.chance(0.75)) continue
    const decidedAt = drawOfficeTime(failedAt, random)
    const cutFrom = Math.floor(decidedAt / DAY) + random.int(9, 13)
    const code = codes.issue()
    const next = cutAgain(
      { code, product: piece.product, purpose: 're-collection', replaces: piece.code },
      cutFrom,
    )
    if (!next || next.plan.issuedAt < decidedAt) continue
    sample.drafts.push(draftReplacedBy(piece.code, code, decidedAt, random))
    again.push(next)
  }
  return again
}

/** When it became known that a settled sample proves nothing, ms UTC. */
function findFailedAt(sample: DemoSample, judgement: Judgement | undefined): number | undefined {
  if (!judgement || judgement.isOpen) return undefined
  const ended = sample.drafts.find(({ kind }) => isEnding(kind) && kind !== 'cancelled')
  if (ended) return ended.knownAt
  const loaded = sample.drafts.find(({ kind }) => kind === 'loaded')
  return judgement.standing === 'lapsed' ? loaded?.knownAt : undefined
}

function draftReplacedBy(code: string, kit: string, at: number, random: RandomStream): DraftEvent {
  return {
    source: 'programme office',
    kind: 'replaced by',
    sample: code,
    time: writeTime(at, 'utc', 'UTC'),
    ...drawKnownAt(at, random.int(0, 5), random),
    facts: { kit },
  }
}
