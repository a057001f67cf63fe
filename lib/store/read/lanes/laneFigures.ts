import { createHash } from 'node:crypto'
import type pg from 'pg'
import { getMaker, MIN_MAKERS } from '@/lib/custody/pooling'
import type { Register } from '@/lib/custody/register'
import { DAY } from '@/lib/hold/zone'
import { fitHazards } from '@/lib/lane/model/fit'
import { countShipments, getLanes, type Lane, TRANSIT } from '@/lib/lane/model/lanes'
import type { Observation } from '@/lib/lane/model/observation'
import type { LaneId } from '@/lib/lane/model/stage'
import { computeTransitCurve, type TransitCurve } from '@/lib/lane/model/transitCurve'
import type { TransitModel } from '@/lib/lane/model/transitModel'
import { computeLaneTrend, type LaneTrend } from '@/lib/lane/pace/laneTrend'
import { withReadTransaction } from '../../projection/readTransaction'
import { getTransitModel } from '../../projection/transitModelCache'

/** One lane's figures, for a reader who may see the lane. */
export interface LaneFigures extends LaneTrend {
  /** A consignment is one shipment. */
  counts: ReturnType<typeof countShipments>
  /** Null if nothing has arrived yet and nothing may be borrowed. */
  curve: TransitCurve | null
  /**
   * Share of the estimate that comes from other lanes, 0 to 1; null if none does, because fewer than three
   * other makers send by this service and the borrowed part would reveal them.
   */
  borrowedShare: number | null
  /** Half-life of a shipment's weight in days; null for no fading. */
  halfLifeDays: number | null
}

/** By model, then by lane and whether it may borrow. */
const figuresCache = new WeakMap<TransitModel, Map<string, LaneFigures>>()

/**
 * They rest on the lane's own data, shrunk to that of other lanes. Other lanes count only if three makers or
 * more stand behind them, or the reader sees all.
 */
export function computeLaneFigures(
  lane: Lane,
  model: TransitModel,
  register: Register,
  seesAll: boolean,
): LaneFigures {
  const isBorrowing = seesAll || countOtherMakers(lane, model, register) >= MIN_MAKERS
  const cached = figuresCache.get(model) ?? new Map<string, LaneFigures>()
  figuresCache.set(model, cached)
  const key = `${isBorrowing} ${lane.levels[0]}`
  const before = cached.get(key)
  if (before) return before
  const { observations, levels } = lane
  const counts = countShipments(observations)
  const own = { referenceAt: model.knownAt, weights: 0, halfLifeDays: null }
  const fit = isBorrowing ? model.getStage(TRANSIT).fit : fitHazards(observations, own)
  const hasArrivals = observations.some(({ hasArrived }) => hasArrived)
  const figures: LaneFigures = {
    ...getCachedLaneTrend(observations, {
      zone: register.plants.get(lane.plant)?.zone ?? 'UTC',
      asOf: model.knownAt,
    }),
    counts,
    curve: isBorrowing || hasArrivals ? computeTransitCurve(fit, levels, observations) : null,
    borrowedShare: isBorrowing ? fit.evidence(levels).borrowedShare : null,
    halfLifeDays: fit.halfLifeDays,
  }
  cached.set(key, figures)
  return figures
}

/** In order of use, the latest last. */
const trendCache = new Map<string, LaneTrend>()
const MAX_CACHED_TRENDS = 5_000

/**
 * Caches `computeLaneTrend` as of the UTC day of `asOf`: it costs tens of milliseconds for a busy lane and
 * changes only with that lane, while the model is rebuilt when anything changes anywhere.
 */
function getCachedLaneTrend(
  observations: readonly Observation[],
  { zone, asOf }: { zone: string; asOf: number },
): LaneTrend {
  const facts = createHash('sha256').update(`${zone} ${Math.floor(asOf / DAY)}`)
  for (const { startedAt, steps, hasArrived, weight } of observations)
    facts.update(`\n${startedAt} ${steps} ${hasArrived} ${weight}`)
  const key = facts.digest('base64')
  const watch = trendCache.get(key) ?? computeLaneTrend(observations, { zone, asOf })
  trendCache.delete(key)
  trendCache.set(key, watch)
  if (trendCache.size > MAX_CACHED_TRENDS) trendCache.delete(trendCache.keys().next().value as string)
  return watch
}

/** Makers other than the lane's own that have sent by its service. */
function countOtherMakers(lane: Lane, model: TransitModel, register: Register): number {
  const own = getMaker(register.plants.get(lane.plant))
  const makers = getMakersByService(model, register).get(lane.service) ?? new Set()
  return makers.size - (makers.has(own) ? 1 : 0)
}

const makersCache = new WeakMap<TransitModel, Map<string | null, Set<string>>>()

function getMakersByService(model: TransitModel, register: Register): Map<string | null, Set<string>> {
  const before = makersCache.get(model)
  if (before) return before
  const byService = new Map<string | null, Set<string>>()
  for (const { plant, service } of getLanes(model).values()) {
    const maker = getMaker(register.plants.get(plant))
    const known = byService.get(service)
    if (known) known.add(maker)
    else byService.set(service, new Set([maker]))
  }
  makersCache.set(model, byService)
  return byService
}

/** A lane with names. The service is null if no report and no kit names one. */
export interface NamedLane {
  plant: { code: string; name: string; zone: string }
  laboratory: { code: string; name: string; zone: string }
  service: { code: string; name: string } | null
}

/** Adds names from the register, or the code where the register has none. */
export function addLaneNames({ plant, laboratory, service }: LaneId, register: Register): NamedLane {
  const [from, to] = [register.plants.get(plant), register.laboratories.get(laboratory)]
  return {
    plant: { code: plant, name: from?.name ?? plant, zone: from?.zone ?? 'UTC' },
    laboratory: { code: laboratory, name: to?.name ?? laboratory, zone: to?.zone ?? 'UTC' },
    service:
      service === null ? null : { code: service, name: register.services.get(service)?.name ?? service },
  }
}

/** Transit over the whole programme. */
export interface PooledTransit {
  counts: ReturnType<typeof countShipments>
  curve: TransitCurve
}

/** `now` in ms UTC; null if fewer than three makers stand behind it. */
export async function readPooledTransit(pool: pg.Pool, now: number): Promise<PooledTransit | null> {
  const model = await getTransitModel(pool, now)
  return withReadTransaction(pool, 'all', now, async ({ register }) => {
    const makers = new Set<string>()
    for (const { plant, observations } of getLanes(model).values())
      if (observations.some(({ hasArrived }) => hasArrived)) makers.add(getMaker(register.plants.get(plant)))
    if (makers.size < MIN_MAKERS) return null
    const { observations, fit } = model.getStage(TRANSIT)
    return { counts: countShipments(observations), curve: computeTransitCurve(fit, [], observations) }
  })
}
