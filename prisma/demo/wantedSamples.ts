import { toLocalDay } from '@/lib/hold/zone'
import { type Batch, drawBatch } from './batches'
import { planBatch } from './history'
import { findNextWorkday, type Piece } from './journey'
import { JUDGED_TARGETS } from './judgedTargets'
import type { KitCodes } from './kitCodes'
import { PLANTS } from './plants'
import type { RandomStream } from './randomStream'
import type { SampleTarget } from './sampleTarget'
import type { Setting } from './setting'
import { isKnown, type Trouble } from './troubles/trouble'

/** One or two samples of every stage, and those that need someone today. */
const SAMPLE_TARGETS: readonly SampleTarget[] = [
  { stalledAfter: 'none', standing: 'sound', daysAgo: [-4, -1] },
  { stalledAfter: 'produced', standing: 'sound', daysAgo: [-1, 1] },
  { stalledAfter: 'collected', standing: 'sound', daysAgo: [0, 4], protocol: 'FOAM' },
  { stalledAfter: 'collected', standing: 'sound', daysAgo: [0, 4], protocol: 'PANEL' },
  { stalledAfter: 'sealed', standing: 'sound', daysAgo: [0, 3], protocol: 'CORK' },
  { stalledAfter: 'sealed', standing: 'sound', daysAgo: [0, 3], protocol: 'FOAM' },
  { stalledAfter: 'dispatched', standing: 'sound', daysAgo: [1, 6] },
  { stalledAfter: 'dispatched', standing: 'tight', daysAgo: [2, 15] },
  { stalledAfter: 'delivered', standing: 'sound', daysAgo: [2, 8] },
  { stalledAfter: 'delivered', standing: 'sound', daysAgo: [2, 8] },
  { stalledAfter: 'received', standing: 'sound', daysAgo: [3, 9] },
  { stalledAfter: 'received', standing: 'tight', daysAgo: [4, 16] },
  { stalledAfter: 'conditioned', standing: 'sound', daysAgo: [3, 9] },
  { stalledAfter: 'conditioned', standing: 'sound', daysAgo: [3, 9] },
  { stalledAfter: 'conditioned', standing: 'tight', daysAgo: [4, 18] },
  { stalledAfter: 'loaded', standing: 'sound', daysAgo: [12, 26], protocol: 'PANEL' },
  { stalledAfter: 'loaded', standing: 'sound', daysAgo: [12, 30], protocol: 'PANEL' },

  // In transit for longer than usual on its lane, though hardly half of its time is used.
  { stalledAfter: 'dispatched', standing: 'at risk', daysAgo: [3, 12], mostUsed: 0.6 },
  { stalledAfter: 'delivered', standing: 'at risk', daysAgo: [4, 9], protocol: 'FOAM' },
  { stalledAfter: 'received', standing: 'at risk', daysAgo: [4, 20] },
  { stalledAfter: 'conditioned', standing: 'at risk', daysAgo: [4, 17] },
  { stalledAfter: 'sealed', standing: 'lapsed', daysAgo: [1, 6], protocol: 'FELT', mostUsed: 4 },
  {
    stalledAfter: 'dispatched',
    standing: 'lapsed',
    daysAgo: [10, 12],
    protocol: 'FOAM',
    isHeldByCustoms: true,
  },
  { stalledAfter: 'received', standing: 'lapsed', daysAgo: [8, 14], protocol: 'FELT' },
  // Silent for more than thirty open days, so it needs a ruling.
  { stalledAfter: 'dispatched', standing: 'lapsed', daysAgo: [54, 60], protocol: 'CORK', mostUsed: 9 },
]

const MAX_TRIES = 50_000

/** Makes each target sample by simulating single samples until one matches. */
export function drawWantedSamples(setting: Setting, codes: KitCodes, random: RandomStream): Batch[] {
  return [...SAMPLE_TARGETS, ...JUDGED_TARGETS].flatMap((want) => {
    for (let tries = 0; tries < MAX_TRIES; tries++) {
      const batch = drawCandidate(want, setting, codes, random)
      if (batch) return [batch]
    }
    return []
  })
}

function drawCandidate(
  want: SampleTarget,
  setting: Setting,
  codes: KitCodes,
  random: RandomStream,
): Batch | undefined {
  const product = random.pick([...setting.products.values()])
  const plant = PLANTS.find(({ code }) => code === product.plant)
  if (!plant || (want.protocol !== undefined && product.protocol !== want.protocol)) return undefined
  const cutDay = toLocalDay(setting.now, plant.zone) - random.int(...want.daysAgo)
  if (findNextWorkday(plant, cutDay) !== cutDay) return undefined
  const pieces: Piece[] = [{ code: codes.issue(), product, ...(want.purpose && { purpose: want.purpose }) }]
  if (want.hasRetained) pieces.push({ code: codes.issue(), product, purpose: 'retained' })
  const plan = planBatch(plant, cutDay, setting, codes, random, pieces)
  if (plan.issuedAt > setting.now) return undefined
  const batch = drawBatch(plan, random, setting, want)
  const [judgement, retained] = batch.judgements
  const isAsWanted =
    judgement?.isOpen &&
    (want.standing === undefined || (judgement.standing === want.standing && !judgement.isDoubtful)) &&
    judgement.furthest === want.stalledAfter &&
    judgement.used <= (want.mostUsed ?? (want.standing === 'lapsed' ? 1.3 : 0.97))
  if (!isAsWanted || (want.hasRetained && retained?.standing === 'lapsed')) return undefined
  return !want.apply || isApplied(want.apply, batch, setting, random) ? batch : undefined
}

/** Whether a trouble fits the first sample, with everything known by now. */
function isApplied(
  apply: Trouble['apply'],
  { samples: [sample, ...siblings] }: Batch,
  setting: Setting,
  random: RandomStream,
): boolean {
  if (!sample) return false
  const before = sample.drafts
  return apply(sample, { siblings, isOpen: true, random, setting }) && isKnown(before, sample.drafts, setting)
}
