import { toLocalDay } from '@/lib/hold/zone'
import { type Batch, drawBatch } from './batches'
import { drawWithoutUrgent, planBatch } from './history'
import { findNextWorkday } from './journey'
import type { KitCodes } from './kitCodes'
import { PLANTS } from './plants'
import type { RandomStream } from './randomStream'
import type { Setting } from './setting'

/** Number of open samples, give or take a batch. */
const OPEN_SAMPLES = 150

/**
 * Adjusts the number of open samples to what the demo promises in any season: removes whole open batches, or adds young
 * ones.
 */
export function adjustOpenCount(
  past: Batch[],
  wanted: Batch[],
  setting: Setting,
  codes: KitCodes,
  random: RandomStream,
): Batch[] {
  const target = OPEN_SAMPLES - countOpen(wanted)
  let open = countOpen(past)
  const dropped = new Set<Batch>()
  for (const batch of random.shuffled(past.filter(isWhollyOpen))) {
    if (open - batch.samples.length < target - 1) continue
    dropped.add(batch)
    open -= batch.samples.length
  }
  const added: Batch[] = []
  for (let tries = 0; open < target && tries < 2_000; tries++) {
    const plant = random.pick(PLANTS)
    const cutDay = findNextWorkday(plant, toLocalDay(setting.now, plant.zone) + random.int(-6, 5))
    const plan = planBatch(plant, cutDay, setting, codes, random)
    const batch =
      plan.issuedAt > setting.now ? undefined : drawWithoutUrgent(() => drawBatch(plan, random, setting))
    if (!batch || !isWhollyOpen(batch)) continue
    added.push(batch)
    open += batch.samples.length
  }
  return [...past.filter((batch) => !dropped.has(batch)), ...added]
}

function countOpen(batches: Batch[]): number {
  return batches.flatMap(({ judgements }) => judgements).filter(({ isOpen }) => isOpen).length
}

/** Whether every sample is open and none replaces another. */
function isWhollyOpen({ judgements, plan }: Batch): boolean {
  return (
    judgements.every(({ isOpen }) => isOpen) && plan.pieces.every(({ replaces }) => replaces === undefined)
  )
}
