import { toLocalDay } from '@/lib/hold/zone'
import { drawIssuedAt } from './batches'
import type { DemoSample } from './draftEvent'
import type { KitCodes } from './kitCodes'
import { LANES } from './lanes'
import { PLANTS } from './plants'
import type { RandomStream } from './randomStream'
import type { KitEntry } from './registerDocument'
import type { Setting } from './setting'
import { formatUtc } from './wallClock'

/** How many. */
const SPARES = 4

/** Kits at plants without a product and without events yet: first where one of the `samples` has to be replaced. */
export function makeSpareKits(
  samples: readonly DemoSample[],
  setting: Setting,
  codes: KitCodes,
  random: RandomStream,
): KitEntry[] {
  const needed = samples.filter(isToBeReplaced).map(({ kit }) => kit)
  const plants = random.shuffled(PLANTS).filter(({ code }) => needed.every(({ plant }) => plant !== code))
  const lanes = [
    ...needed,
    ...plants.map(({ code }) => random.pick(LANES.filter(({ plant }) => plant === code))),
  ]
  return lanes.slice(0, SPARES).map((lane) => {
    const plant = PLANTS.find(({ code }) => code === lane.plant)
    if (!plant) throw new RangeError(`no plant ${lane.plant}`)
    const issuedAt = drawIssuedAt(toLocalDay(setting.now, plant.zone) - random.int(2, 40), plant, random)
    return {
      code: codes.issue(),
      plant: plant.code,
      laboratory: lane.laboratory,
      ...(lane.service !== undefined && { service: lane.service }),
      issuedAt: formatUtc(issuedAt),
    }
  })
}

function isToBeReplaced({ drafts }: DemoSample): boolean {
  const isRuledOut = drafts.some(({ kind, facts }) => kind === 'ruling' && facts?.ruling === 'cut again')
  return isRuledOut && !drafts.some(({ kind }) => kind === 'replaced by')
}
