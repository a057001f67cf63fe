import { type Batch, drawBatch, isUrgent } from './batches'
import { drawWithoutUrgent } from './history'
import { judgeSample } from './judgement'
import type { RandomStream } from './randomStream'
import type { Setting } from './setting'

/**
 * Judges every batch again by the setting's transit model, and redraws those with a sample that needs someone today
 * until none does, or drops them. Batches with a re-collection stay as they are.
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
