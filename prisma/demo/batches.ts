import { MILESTONES, type Milestone } from '@/lib/hold/milestone'
import { DAY, getWeekday, HOUR, MINUTE } from '@/lib/hold/zone'
import type { DemoSample } from './draftEvent'
import { type BatchPlan, drawJourneys, type Transit, type TrueJourney } from './journey'
import { type Judgement, judgeSample } from './judgement'
import type { DemoPlant } from './plants'
import type { RandomStream } from './randomStream'
import type { KitEntry } from './registerDocument'
import { draftReports } from './reporting'
import type { Setting } from './setting'
import { formatUtc, type LocalDay } from './wallClock'

/** A simulated batch, and the standing of its samples. */
export interface Batch {
  plan: BatchPlan
  samples: DemoSample[]
  judgements: Judgement[]
}

/** What a batch made to order has to match. */
export interface BatchTarget {
  /** The last milestone that has happened; `none` for nothing at all. */
  stalledAfter: Milestone | 'none'
  isHeldByCustoms?: boolean
}

/** Simulates a planned batch; the same plan can turn out differently each time. */
export function drawBatch(
  plan: BatchPlan,
  random: RandomStream,
  setting: Setting,
  wish?: BatchTarget,
): Batch {
  const { journeys, transit } = drawJourneys(plan, random, setting.now)
  const kitJourneys = plan.pieces.map((piece, index) => {
    const journey = journeys[index] ?? { moments: {} }
    return { piece, kit: toKit(plan, index), journey: wish ? stall(journey, wish) : journey }
  })
  const samples = draftReports(
    plan,
    kitJourneys,
    wish?.isHeldByCustoms ? holdAtCustoms(transit) : transit,
    random,
  ).map((sample) => (wish ? silence(sample, wish) : sample))
  return { plan, samples, judgements: samples.map((sample) => judgeSample(sample, setting)) }
}

/** Keeps a consignment at customs until now. */
function holdAtCustoms({ clearedAt: _, ...transit }: Transit): Transit {
  return { ...transit, heldAt: transit.heldAt ?? transit.dispatchedAt + 30 * HOUR }
}

/** Whether a sample needs someone today or soon. */
export function isUrgent({ isOpen, standing, isDoubtful }: Judgement): boolean {
  return isOpen && (standing === 'lapsed' || standing === 'at risk' || (standing === 'tight' && isDoubtful))
}

/** When the kits for a cut are issued: some days earlier, on a weekday, in the programme office's hours (ms UTC). */
export function drawIssuedAt(cutDay: LocalDay, plant: DemoPlant, random: RandomStream): number {
  const isFar = !plant.zone.startsWith('Europe')
  let day = cutDay - 3 - random.weighted([0.4, 0.3, 0.15, 0.1, 0.05]) - (isFar ? 1 : 0)
  while ([0, 6].includes(getWeekday(day))) day--
  return day * DAY + 13 * HOUR + random.int(0, 420) * MINUTE
}

function isAfter(kind: string, wish: BatchTarget): boolean {
  return MILESTONES.indexOf(kind as Milestone) > MILESTONES.indexOf(wish.stalledAfter as Milestone)
}

function stall({ moments }: TrueJourney, wish: BatchTarget): TrueJourney {
  const kept = Object.entries(moments).filter(([kind]) => !isAfter(kind, wish))
  return { moments: Object.fromEntries(kept) }
}

function silence(sample: DemoSample, wish: BatchTarget): DemoSample {
  return { ...sample, drafts: sample.drafts.filter(({ kind }) => !isAfter(kind, wish)) }
}

function toKit(plan: BatchPlan, index: number): KitEntry {
  const piece = plan.pieces[index]
  if (!piece) throw new RangeError(`the batch has no piece ${index}`)
  return {
    code: piece.code,
    product: piece.product.code,
    plant: plan.plant.code,
    laboratory: plan.laboratory.entry.code,
    service: plan.lane.service,
    issuedAt: formatUtc(plan.issuedAt),
    ...(piece.purpose && { purpose: piece.purpose }),
    ...(piece.replaces !== undefined && { replaces: piece.replaces }),
  }
}
