import { toLocalDay } from '@/lib/hold/zone'
import { type Batch, drawBatch, drawIssuedAt, isUrgent } from './batches'
import { type BatchPlan, findNextWorkday, type Piece } from './journey'
import type { KitCodes } from './kitCodes'
import { LANES } from './lanes'
import { type DemoPlant, PLANTS } from './plants'
import { type RandomStream, randomStream } from './randomStream'
import { recollect } from './recollection'
import { PAST_DAYS, type Setting } from './setting'
import type { LocalDay } from './wallClock'

/** The earliest that kits are issued before a cut, in days. */
const MAX_LEAD_DAYS = 11
const MAX_TRIES = 15

/** Eighteen months of every plant's work, up to the kits that are issued but not yet cut. */
export function drawHistory(setting: Setting, seed: number, codes: KitCodes): Batch[] {
  return PLANTS.flatMap((plant) => {
    const random = randomStream(seed, `history of ${plant.code}`)
    const today = toLocalDay(setting.now, plant.zone)
    const batches: Batch[] = []
    for (let day = today - PAST_DAYS + MAX_LEAD_DAYS; day <= today + MAX_LEAD_DAYS; day++) {
      if (findNextWorkday(plant, day) !== day || !random.chance(plant.activity)) continue
      const plan = planBatch(plant, day, setting, codes, random)
      if (plan.issuedAt > setting.now) continue
      const batch = drawWithoutUrgent(() => drawBatch(plan, random, setting))
      if (!batch) continue
      batches.push(
        batch,
        ...recollect(
          batch,
          (piece, cutFrom) => {
            const again = planBatch(plant, findNextWorkday(plant, cutFrom), setting, codes, random, [piece])
            return again.issuedAt > setting.now
              ? undefined
              : drawWithoutUrgent(() => drawBatch(again, random, setting))
          },
          codes,
          random,
        ),
      )
    }
    return batches
  })
}

/** Redraws a batch until none of its samples needs anyone today; undefined after `MAX_TRIES`. */
export function drawWithoutUrgent(once: () => Batch): Batch | undefined {
  for (let tries = 0; tries < MAX_TRIES; tries++) {
    const batch = once()
    if (!batch.judgements.some(isUrgent)) return batch
  }
  return undefined
}

/** What a plant plans to cut on a day, and how it plans to ship it. */
export function planBatch(
  plant: DemoPlant,
  cutDay: LocalDay,
  setting: Setting,
  codes: KitCodes,
  random: RandomStream,
  pieces: Piece[] = drawPieces(plant, setting, codes, random),
): BatchPlan {
  const daysAgo = toLocalDay(setting.now, plant.zone) - cutDay
  const lanes = LANES.filter((lane) => lane.plant === plant.code && daysAgo <= (lane.newForDays ?? PAST_DAYS))
  const lane = lanes[random.weighted(lanes.map(({ share }) => share))]
  const laboratory = setting.laboratories.get(lane?.laboratory ?? '')
  if (!lane || !laboratory) throw new Error(`plant ${plant.code} has no lane`)
  return { plant, lane, laboratory, cutDay, issuedAt: drawIssuedAt(cutDay, plant, random), pieces }
}

function drawPieces(plant: DemoPlant, setting: Setting, codes: KitCodes, random: RandomStream): Piece[] {
  const products = [...setting.products.values()].filter((product) => product.plant === plant.code)
  const count = 1 + random.weighted([0.36, 0.32, 0.2, 0.12])
  const pieces: Piece[] = []
  for (let made = 0; made < count; made++) {
    const product = random.pick(products)
    pieces.push({ code: codes.issue(), product })
    if (random.chance(0.05)) pieces.push({ code: codes.issue(), product, purpose: 'duplicate' })
    const canWait = product.protocol !== 'FELT'
    if (canWait && random.chance(0.03)) pieces.push({ code: codes.issue(), product, purpose: 'retained' })
  }
  return pieces
}
