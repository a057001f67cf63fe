import { toLocalDay } from '@/lib/hold/zone'
import { drawIssuedAt } from './batches'
import type { KitCodes } from './kitCodes'
import { LANES } from './lanes'
import { PLANTS } from './plants'
import type { RandomStream } from './randomStream'
import type { KitEntry } from './registerDocument'
import type { Setting } from './setting'
import { formatUtc } from './wallClock'

/** Kits at plants without a product and without events yet. */
export function makeSpareKits(setting: Setting, codes: KitCodes, random: RandomStream): KitEntry[] {
  return random
    .shuffled(PLANTS)
    .slice(0, 4)
    .map((plant) => {
      const lane = random.pick(LANES.filter((candidate) => candidate.plant === plant.code))
      const issuedAt = drawIssuedAt(toLocalDay(setting.now, plant.zone) - random.int(2, 40), plant, random)
      return {
        code: codes.issue(),
        plant: plant.code,
        laboratory: lane.laboratory,
        service: lane.service,
        issuedAt: formatUtc(issuedAt),
      }
    })
}
