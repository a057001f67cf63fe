import { computeDueAt, computeEarliestStopAt } from '@/lib/hold/due'
import type { Limit } from '@/lib/hold/limit'
import { MILESTONE_ORDER } from '@/lib/hold/milestone'
import { toInstant } from '@/lib/hold/openHours'
import { findNextPickupDay, type Pickups } from '@/lib/hold/pickup'
import { DEFAULT_THRESHOLDS } from '@/lib/hold/standing'
import { getWeekday, toLocalDay } from '@/lib/hold/zone'
import { RemainingPath } from '../forecast/remainingPath'
import { computeRiskVariance } from '../forecast/riskVariance'
import { listRemainingStages, type Stage } from '../model/stage'
import { findStartDay } from '../model/startDay'
import { betaInterval } from '../model/survivalCurve'
import type { TransitModel } from '../model/transitModel'

/** The shipment to plan. Instants in ms UTC. */
export interface ShipmentPlan {
  plant: string
  laboratory: string
  /** The services that may be used. */
  services: readonly (string | null)[]
  /** The hold limits that apply; those that begin after the dispatch do not depend on the shipping. */
  limits: readonly Limit[]
  /** When it was cut; if absent, it is cut on the day of each window. */
  cutAt?: number | undefined
  /** When it was made; if absent, when it is cut. */
  producedAt?: number | undefined
  /** Number of days, today included. Default 14. */
  days?: number | undefined
  /** The chance to miss from which a sample is tight. Default 5 %. */
  tight?: number | undefined
}

/** The chance to keep one limit. */
export interface LimitChance {
  limit: string
  dueAt: number
  /** The chance, with a 90 % credible interval. Null if there is no data. */
  chance: number | null
  low: number | null
  high: number | null
}

/** The outcome of cutting at one time and handing over at another. Instants in ms UTC. */
export interface HandOver {
  cutAt: number
  handOverAt: number
  /** The chance of the limit that is likeliest to be missed; null if no chance is known. */
  chance: number | null
  /** The limit that is likeliest to be missed. */
  binding: LimitChance | null
  limits: readonly LimitChance[]
}

/** A pickup of one service on one day. */
export interface ShipWindow extends HandOver {
  /** Day number in the plant's zone. */
  day: number
  service: string | null
  /** The register has this service's pickups; else the plant's usual time of handing over is assumed. */
  isPickupKnown: boolean
  /** The same cut, handed over at the next pickup after this one. */
  missed: HandOver
}

export interface ShipWindows {
  /** The plant's IANA zone, for days and times. */
  zone: string
  /** By day, then in the order of the services. */
  windows: readonly ShipWindow[]
  /** The first of those within half a percent of the highest chance. */
  best: ShipWindow | null
  /**
   * The last safe hand-over (chance to miss below tight) before the first day on which none is safe; null if
   * none is safe. The last of all if every day has a safe one.
   */
  lastSafe: ShipWindow | null
}

/** Default time of cutting and handing over, minutes of the plant's day. Chosen, no source. */
const CUT_MINUTE = 480
const HAND_OVER_MINUTE = 960
const DAYS = 14

/** The windows from `now` (ms UTC) on. */
export function computeShipWindows(shipment: ShipmentPlan, model: TransitModel, now: number): ShipWindows {
  const zone = model.placeDays.places.plantZone(shipment.plant)
  const today = toLocalDay(now, zone)
  const windows: ShipWindow[] = []
  for (let day = today; day < today + (shipment.days ?? DAYS); day += 1)
    for (const service of shipment.services) {
      const window = computeWindow(shipment, service, day, model, now)
      if (window) windows.push(window)
    }
  const tight = shipment.tight ?? DEFAULT_THRESHOLDS.tight
  return { zone, windows, best: findBest(windows), lastSafe: findLastSafe(windows, tight) }
}

function computeWindow(
  shipment: ShipmentPlan,
  service: string | null,
  day: number,
  model: TransitModel,
  now: number,
): ShipWindow | null {
  const { plant } = shipment
  const zone = model.placeDays.places.plantZone(plant)
  const pickups = model.placeDays.places.pickups(plant, service) ?? getUsualPickups(plant, model)
  const minute = pickups[getWeekday(day)] ?? null
  if (minute === null) return null
  const handOverAt = toInstant(day, minute, zone)
  if (handOverAt < now || handOverAt < (shipment.cutAt ?? now)) return null
  const usual = model.times.getTimes('collected', plant).usualMinute ?? CUT_MINUTE
  const cutAt = shipment.cutAt ?? Math.min(handOverAt, Math.max(now, toInstant(day, usual, zone)))
  const nextDay = findNextPickupDay(pickups, day)
  const nextAt = toInstant(nextDay, pickups[getWeekday(nextDay)] as number, zone)
  return {
    day,
    service,
    isPickupKnown: model.placeDays.places.pickups(plant, service) !== null,
    ...evaluateHandOver(shipment, service, cutAt, handOverAt, model),
    missed: evaluateHandOver(shipment, service, cutAt, nextAt, model),
  }
}

/** Without known pickups: each workday, at the plant's usual time of handing over. */
function getUsualPickups(plant: string, model: TransitModel): Pickups {
  const minute = model.times.getTimes('dispatched', plant).usualMinute ?? HAND_OVER_MINUTE
  const days = model.placeDays.getDays('dispatched', plant)
  // Day 3, 4 January 1970, was a Sunday.
  return [3, 4, 5, 6, 7, 8, 9].map((day) => (days.isOpen(day) ? minute : null))
}

function evaluateHandOver(
  shipment: ShipmentPlan,
  service: string | null,
  cutAt: number,
  handOverAt: number,
  model: TransitModel,
): HandOver {
  const limits = shipment.limits.flatMap(
    (limit) => computeLimitChance(limit, shipment, service, cutAt, handOverAt, model) ?? [],
  )
  const known = limits.filter(({ chance }) => chance !== null)
  const binding = known.reduce<LimitChance | null>(
    (worst, one) => (worst === null || (one.chance as number) < (worst.chance as number) ? one : worst),
    null,
  )
  return { cutAt, handOverAt, chance: binding?.chance ?? null, binding, limits }
}

/** Null if the shipping does not affect the limit. */
function computeLimitChance(
  limit: Limit,
  shipment: ShipmentPlan,
  service: string | null,
  cutAt: number,
  handOverAt: number,
  model: TransitModel,
): LimitChance | null {
  if (MILESTONE_ORDER[limit.to] < MILESTONE_ORDER.dispatched) return null
  const startedAt = findClockStart(limit, shipment, cutAt, handOverAt)
  if (startedAt === null) return null
  const { places } = model.placeDays
  const counting = {
    plantZone: places.plantZone(shipment.plant),
    laboratory: places.calendar(shipment.laboratory),
  }
  const due = computeDueAt(limit, startedAt, counting)
  const known = (chance: number | null, low: number | null, high: number | null) => ({
    limit: limit.name,
    dueAt: due,
    chance,
    low,
    high,
  })
  if (limit.to === 'dispatched') {
    // Other milestones can wait for their least time once it is sent; this one is the hand-over itself.
    const earliest = computeEarliestStopAt(limit, startedAt, counting)
    const kept = handOverAt <= due && (earliest === null || handOverAt >= earliest) ? 1 : 0
    return known(kept, kept, kept)
  }
  if (handOverAt > due) return known(0, 0, 0)
  const lane = { plant: shipment.plant, laboratory: shipment.laboratory, service }
  const stages = listRemainingStages((milestone) => milestone === 'dispatched', limit.to)
  const chains = model.chains.findWeightedChains(stages, lane)
  if (!chains) return known(null, null, null)
  const day = findStartDay(stages[0] as Stage, lane, handOverAt, model.placeDays)
  const path = new RemainingPath(stages, chains, { at: handOverAt, day }, due)
  const risk = path.riskAt(handOverAt)
  const [low, high] = betaInterval(risk, computeRiskVariance(path, handOverAt), 0.9)
  return known(1 - risk, 1 - high, 1 - low)
}

/** When the clock of a limit would start, ms UTC; null if it starts after the dispatch. */
function findClockStart(
  limit: Limit,
  shipment: ShipmentPlan,
  cutAt: number,
  handOverAt: number,
): number | null {
  if (limit.from === 'produced') return shipment.producedAt ?? cutAt
  if (limit.from === 'collected' || limit.from === 'sealed') return cutAt
  return limit.from === 'dispatched' ? handOverAt : null
}

/** Chances closer than this count as equal. */
const CHANCE_TOLERANCE = 0.005

function findBest(windows: readonly ShipWindow[]): ShipWindow | null {
  const highest = Math.max(...windows.map(({ chance }) => chance ?? Number.NEGATIVE_INFINITY))
  const good = windows.filter(({ chance }) => chance !== null && chance >= highest - CHANCE_TOLERANCE)
  return good.reduce<ShipWindow | null>(
    (first, one) => (first === null || one.handOverAt < first.handOverAt ? one : first),
    null,
  )
}

function findLastSafe(windows: readonly ShipWindow[], tight: number): ShipWindow | null {
  let last: ShipWindow | null = null
  const isSafe = ({ chance }: ShipWindow) => chance !== null && 1 - chance < tight
  for (const day of new Set(windows.map((window) => window.day))) {
    const safeWindows = windows.filter((window) => window.day === day && isSafe(window))
    if (safeWindows.length === 0 && last) return last
    for (const window of safeWindows) if (!last || window.handOverAt >= last.handOverAt) last = window
  }
  return last
}
