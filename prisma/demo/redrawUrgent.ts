import { type Batch, drawBatch, isUrgent } from './batches'
import { drawWithoutUrgent } from './history'
import { judgeSample } from './judgement'
import type { RandomStream } from './randomStream'
import type { Setting } from './setting'

/**
 * Judges every batch anew by the setting's record, and lives those of which a sample would need someone today once more
 * until none does, or gives them up. What other kits take over from is left as it is.
 */
export function redrawUrgent(batches: readonly Batch[], setting: Setting, random: RandomStream): Batch[] {
  const replaced = new Set(batches.flatMap(({ plan }) => plan.pieces.map(({ replaces }) => replaces)))
  return batches.flatMap((batch) => {
    if (!batch.judgements.some(({ isOpen }) => isOpen)) return [batch]
    const judgements = batch.samples.map((sample) => judgeSample(sample, setting))
    const isFixed = batch.plan.pieces.some(({ code }) => replaced.has(code))
    if (isFixed || !judgements.some(isUrgent)) return [{ ...batch, judgements }]
    return drawWithoutUrgent(() => drawBatch(batch.plan, random, setting)) ?? []
  })
}
