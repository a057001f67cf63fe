import { MILESTONES, type Milestone } from '@/lib/hold/milestone'
import { DAY, HOUR, MINUTE, weekdayOf } from '@/lib/hold/zone'
import type { DemoSample } from './draftEvent'
import { type BatchPlan, type Journey, live, type Transit } from './journey'
import { type Judgement, judge } from './judgement'
import type { DemoPlant } from './plants'
import type { RandomStream } from './randomStream'
import type { KitEntry } from './registerDocument'
import { report } from './reporting'
import type { Setting } from './setting'
import { type LocalDay, utcText } from './wallClock'

/** A batch that has been lived through, and how its samples stand now. */
export interface Batch {
  plan: BatchPlan
  samples: DemoSample[]
  judgements: Judgement[]
}

/** What a batch made to order must be like. */
export interface Wish {
  /** Nothing later than this milestone has happened; `none`: nothing at all. */
  stalledAfter: Milestone | 'none'
  isHeldByCustoms?: boolean
}

/** Lives a planned batch through once; the same plan can be lived again and turn out otherwise. */
export function liveBatch(plan: BatchPlan, random: RandomStream, setting: Setting, wish?: Wish): Batch {
  const { journeys, transit } = live(plan, random, setting.now)
  const told = plan.pieces.map((piece, index) => {
    const journey = journeys[index] ?? { moments: {} }
    return { piece, kit: kitOf(plan, index), journey: wish ? stalled(journey, wish) : journey }
  })
  const samples = report(plan, told, wish?.isHeldByCustoms ? heldUp(transit) : transit, random).map(
    (sample) => (wish ? silenced(sample, wish) : sample),
  )
  return { plan, samples, judgements: samples.map((sample) => judge(sample, setting)) }
}

/** A consignment that customs hold to this day. */
function heldUp({ clearedAt: _, ...transit }: Transit): Transit {
  return { ...transit, heldAt: transit.heldAt ?? transit.dispatchedAt + 30 * HOUR }
}

/** Whether a sample needs someone today, or a little later. */
export function isPressing({ isOpen, standing, isDoubtful }: Judgement): boolean {
  return isOpen && (standing === 'lapsed' || standing === 'at risk' || (standing === 'tight' && isDoubtful))
}

/** When the kits for a cut are sent out: some days before, on a weekday, in the programme office's hours (ms UTC). */
export function issueMoment(cutDay: LocalDay, plant: DemoPlant, random: RandomStream): number {
  const isFar = !plant.zone.startsWith('Europe')
  let day = cutDay - 3 - random.weighted([0.4, 0.3, 0.15, 0.1, 0.05]) - (isFar ? 1 : 0)
  while ([0, 6].includes(weekdayOf(day))) day--
  return day * DAY + 13 * HOUR + random.int(0, 420) * MINUTE
}

function isAfter(kind: string, wish: Wish): boolean {
  return MILESTONES.indexOf(kind as Milestone) > MILESTONES.indexOf(wish.stalledAfter as Milestone)
}

function stalled({ moments }: Journey, wish: Wish): Journey {
  const kept = Object.entries(moments).filter(([kind]) => !isAfter(kind, wish))
  return { moments: Object.fromEntries(kept) }
}

function silenced(sample: DemoSample, wish: Wish): DemoSample {
  return { ...sample, drafts: sample.drafts.filter(({ kind }) => !isAfter(kind, wish)) }
}

function kitOf(plan: BatchPlan, index: number): KitEntry {
  const piece = plan.pieces[index]
  if (!piece) throw new RangeError(`the batch has no piece ${index}`)
  return {
    code: piece.code,
    product: piece.product.code,
    plant: plan.plant.code,
    laboratory: plan.laboratory.entry.code,
    service: plan.lane.service,
    issuedAt: utcText(plan.issuedAt),
    ...(piece.purpose && { purpose: piece.purpose }),
    ...(piece.replaces !== undefined && { replaces: piece.replaces }),
  }
}
