import type { Ending, Milestone } from '@/lib/hold/milestone'
import { DAY, getWeekday, HOUR, MINUTE, toLocalDay } from '@/lib/hold/zone'
import { drawChamberWork } from './chamberWork'
import type { DemoLane } from './lanes'
import { EARLY_MINUTES, getCallMinutes, LATE_MINUTES } from './pickups'
import type { DemoPlant } from './plants'
import type { RandomStream } from './randomStream'
import type { KitEntry, ProductEntry } from './registerDocument'
import type { OpenLaboratory } from './setting'
import { formatDate, type LocalDay, toInstant } from './wallClock'

/** Samples cut on one day at one plant and shipped together. */
export interface BatchPlan {
  plant: DemoPlant
  lane: DemoLane
  laboratory: OpenLaboratory
  cutDay: LocalDay
  /** When the programme issued the kits, ms UTC. */
  issuedAt: number
  pieces: Piece[]
}

export interface Piece {
  /** The kit code. */
  code: string
  product: ProductEntry
  purpose?: NonNullable<KitEntry['purpose']>
  /** The kit whose sample this one replaces. */
  replaces?: string
}

/** What really happens to a sample, reported or not: instants in ms UTC. */
export interface TrueJourney {
  moments: Partial<Record<Milestone, number>>
  ending?: { kind: Ending; at: number }
}

/** What really happens to a consignment on the way. Instants in ms UTC. */
export interface Transit {
  dispatchedAt: number
  scannedAt: number[]
  heldAt?: number
  /** When customs released it, if they did. */
  clearedAt?: number
  deliveredAt: number
  receivedAt: number
  outcome: 'arrives' | 'lost' | 'returned'
  /** When a loss or return is reported. */
  endAt: number
}

/** Simulates a batch to its end; `now` (ms UTC) decides only which lanes have changed their pace. */
export function drawJourneys(
  plan: BatchPlan,
  random: RandomStream,
  now: number,
): { journeys: TrueJourney[]; transit: Transit } {
  const { plant } = plan
  const isAfternoon = random.chance(0.1)
  const firstCutMinutes = isAfternoon ? random.int(780, 880) : random.int(430, 640)
  const cuts = plan.pieces.map((_, index) => {
    const minutes = firstCutMinutes + index * random.int(9, 34)
    return toInstant(plan.cutDay, minutes, plant.zone)
  })
  const lastSealedAt = Math.max(...cuts) + 40 * MINUTE
  const transit = drawTransit(plan, drawHandOver(plan, lastSealedAt, random), random, now)
  const journeys = plan.pieces.map((piece, index) => {
    const collected = cuts[index] as number
    const produced = drawProducedAt(plan, collected, random)
    const sealed = collected + random.int(5, 38) * MINUTE
    const moments: TrueJourney['moments'] = { produced, collected, sealed }
    if (piece.purpose === 'retained') return { moments }
    if (random.chance(0.008)) return cancel(moments, random)
    moments.dispatched = transit.dispatchedAt
    if (transit.outcome !== 'arrives')
      return { moments, ending: { kind: transit.outcome, at: transit.endAt } }
    moments.delivered = transit.deliveredAt
    moments.received = transit.receivedAt
    if (random.chance(0.008)) {
      return {
        moments,
        ending: { kind: 'rejected' as const, at: transit.receivedAt + random.int(15, 95) * MINUTE },
      }
    }
    return { moments: { ...moments, ...drawChamberWork(piece.product, plan.laboratory, moments, random) } }
  })
  return {
    journeys: journeys.map((journey, index) => retireRetained(journey, index, plan, journeys, random)),
    transit,
  }
}

/** Cancels a retained piece, on a morning at the plant after a piece that was shipped is in the chamber. */
function retireRetained(
  journey: TrueJourney,
  index: number,
  plan: BatchPlan,
  all: TrueJourney[],
  random: RandomStream,
): TrueJourney {
  if (plan.pieces[index]?.purpose !== 'retained') return journey
  const done = all.map(({ moments, ending }) => moments.loaded ?? ending?.at).find((at) => at !== undefined)
  const at = drawWorkingTime(plan.plant, done ?? (journey.moments.sealed ?? 0) + 3 * DAY, random)
  return { ...journey, ending: { kind: 'cancelled', at } }
}

function cancel(moments: TrueJourney['moments'], random: RandomStream): TrueJourney {
  const { produced, collected = 0, sealed = 0 } = moments
  if (random.chance(0.6)) {
    const at = collected - random.int(5, 24) * MINUTE
    return { moments: produced === undefined ? {} : { produced }, ending: { kind: 'cancelled', at } }
  }
  return { moments, ending: { kind: 'cancelled', at: sealed + random.int(30, 200) * MINUTE } }
}

/** A time on a plant's next workday after `after`, between 8:00 and 16:00 (ms UTC). */
function drawWorkingTime(plant: DemoPlant, after: number, random: RandomStream): number {
  const day = findNextWorkday(plant, toLocalDay(after, plant.zone) + 1)
  return toInstant(day, random.int(480, 960), plant.zone)
}

function drawProducedAt(plan: BatchPlan, collected: number, random: RandomStream): number {
  const daysBefore = random.weighted([0.65, 0.22, 0.13])
  if (daysBefore === 0) return collected - random.int(25, 330) * MINUTE
  return toInstant(plan.cutDay - daysBefore, random.int(0, 1439), plan.plant.zone)
}

function drawHandOver(plan: BatchPlan, readyAt: number, random: RandomStream): number {
  const { plant } = plan
  const usual = getCallMinutes(plant, plan.lane.service)
  const callAt = (day: LocalDay) =>
    toInstant(day, usual + random.int(-EARLY_MINUTES, LATE_MINUTES), plant.zone)
  const today = callAt(plan.cutDay)
  if (readyAt < today && !random.chance(0.025)) return today
  return callAt(findNextWorkday(plant, plan.cutDay + 1))
}

function drawTransit(plan: BatchPlan, dispatchedAt: number, random: RandomStream, now: number): Transit {
  const { lane, laboratory } = plan
  const leftOn = toLocalDay(dispatchedAt, plan.plant.zone)
  let steps = random.weighted(lane.pace)
  if (getWeekday(leftOn) === 5 && random.chance(0.15)) steps++
  if (lane.slowerForDays !== undefined && dispatchedAt > now - lane.slowerForDays * DAY) steps++
  const isHeld = random.chance(lane.customs ?? 0)
  if (isHeld) steps += random.int(1, 3)

  let day = laboratory.days.after(leftOn, steps)
  let receivedAt = dispatchedAt
  for (; receivedAt < dispatchedAt + 6 * HOUR; day = laboratory.days.after(day, 1)) {
    receivedAt = laboratory.days.moment(day, 0.01 + 0.98 * random.next() ** 1.7)
  }
  const arrivedOn = toLocalDay(receivedAt, laboratory.entry.zone)
  const eveningBefore = toInstant(arrivedOn - 1, random.int(1000, 1130), laboratory.entry.zone)
  const isEvening = eveningBefore > dispatchedAt + 6 * HOUR && random.chance(0.13)
  const deliveredAt = isEvening ? eveningBefore : receivedAt - random.int(6, 75) * MINUTE

  const span = deliveredAt - dispatchedAt
  const scans = Math.min(3, Math.floor(span / (20 * HOUR)))
  const scannedAt = Array.from({ length: scans }, (_, index) =>
    floorToSecond(dispatchedAt + 10 * HOUR + ((span - 11 * HOUR) * (index + random.next())) / scans),
  )
  const outcome =
    (['arrives', 'lost', 'returned'] as const)[random.weighted([0.988, 0.007, 0.005])] ?? 'arrives'
  const backAfter = dispatchedAt + (5 + 6 * random.next()) * DAY
  const endAt =
    outcome === 'lost' ? floorToMinute(backAfter + 4 * DAY) : drawWorkingTime(plan.plant, backAfter, random)
  const heldAt = isHeld ? floorToSecond(dispatchedAt + 12 * HOUR + span * 0.25 * random.next()) : undefined
  return {
    dispatchedAt,
    scannedAt,
    ...(heldAt !== undefined && { heldAt, clearedAt: floorToSecond((heldAt + deliveredAt) / 2) }),
    deliveredAt,
    receivedAt,
    outcome,
    endAt,
  }
}

/** The plant's first workday from `day` on; every plant here rests on 25 December and 1 January. */
export function findNextWorkday(plant: DemoPlant, day: LocalDay): LocalDay {
  const rests = (tried: LocalDay) => ['12-25', '01-01'].includes(formatDate(tried).slice(5))
  let reached = day
  while (!plant.workdays.includes(getWeekday(reached)) || rests(reached)) reached++
  return reached
}

function floorToMinute(at: number): number {
  return Math.floor(at / MINUTE) * MINUTE
}

function floorToSecond(at: number): number {
  return Math.floor(at / 1000) * 1000
}
