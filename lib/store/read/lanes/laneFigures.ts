import { createHash } from 'node:crypto'
import type pg from 'pg'
import { FEWEST_MAKERS, makerOf } from '@/lib/custody/pooling'
import type { Register } from '@/lib/custody/register'
import { DAY } from '@/lib/hold/zone'
import { fitOf } from '@/lib/lane/model/fit'
import { type Lane, lanesOf, shipmentCounts, TRANSIT } from '@/lib/lane/model/lanesOf'
import type { Observation } from '@/lib/lane/model/observation'
import type { LaneRecord } from '@/lib/lane/model/record'
import type { Way } from '@/lib/lane/model/stage'
import { type TransitCurve, transitCurveOf } from '@/lib/lane/model/transitCurve'
import { type LaneWatch, watchLane } from '@/lib/lane/pace/laneWatch'
import { laneRecord } from '../../projection/laneRecord'
import { asReader } from '../../projection/reader'

/** What the record of all lanes tells of one, to someone who may see that lane. */
export interface LaneFigures extends LaneWatch {
  /** Shipments, a consignment being one. */
  counts: ReturnType<typeof shipmentCounts>
  /** Null where nothing has arrived yet and nothing may be borrowed. */
  curve: TransitCurve | null
  /**
   * How much of the estimate comes from other lanes, 0 to 1; null where none of it does, since fewer than three
   * other makers send by this service and what was borrowed would tell of them.
   */
  borrowedShare: number | null
  /** In how many days a shipment's weight halves; null where none fades. */
  halfLifeDays: number | null
}

/** Figures of lanes that were worked out from a record already, by what may be told of others. */
const worked = new WeakMap<LaneRecord, Map<string, LaneFigures>>()

/**
 * The figures of one lane. They rest on its own record and, pulled to them as far as it is thin, on those of others: of
 * these only what three makers or more stand behind is told, unless whoever asks sees all.
 */
export function laneFigures(
  lane: Lane,
  record: LaneRecord,
  register: Register,
  seesAll: boolean,
): LaneFigures {
  const isBorrowing = seesAll || otherMakers(lane, record, register) >= FEWEST_MAKERS
  const kept = worked.get(record) ?? new Map<string, LaneFigures>()
  worked.set(record, kept)
  const key = `${isBorrowing} ${lane.levels[0]}`
  const before = kept.get(key)
  if (before) return before
  const { observations, levels } = lane
  const counts = shipmentCounts(observations)
  const own = { referenceAt: record.knownAt, weights: 0, halfLifeDays: null }
  const fit = isBorrowing ? record.of(TRANSIT).fit : fitOf(observations, own)
  const hasArrivals = observations.some(({ hasArrived }) => hasArrived)
  const figures: LaneFigures = {
    ...keptWatch(observations, {
      zone: register.plants.get(lane.plant)?.zone ?? 'UTC',
      asOf: record.knownAt,
    }),
    counts,
    curve: isBorrowing || hasArrivals ? transitCurveOf(fit, levels, observations) : null,
    borrowedShare: isBorrowing ? fit.evidence(levels).borrowedShare : null,
    halfLifeDays: fit.halfLifeDays,
  }
  kept.set(key, figures)
  return figures
}

/** The newest last. */
const watches = new Map<string, LaneWatch>()
const MOST_WATCHES = 5_000

/**
 * The same as `watchLane` as of the UTC day of `asOf`. It costs tens of milliseconds for a busy lane and does not
 * change until something happens there, while the record of all lanes is made anew whenever something happens anywhere.
 */
function keptWatch(
  observations: readonly Observation[],
  { zone, asOf }: { zone: string; asOf: number },
): LaneWatch {
  const facts = createHash('sha256').update(`${zone} ${Math.floor(asOf / DAY)}`)
  for (const { startedAt, steps, hasArrived, weight } of observations)
    facts.update(`\n${startedAt} ${steps} ${hasArrived} ${weight}`)
  const key = facts.digest('base64')
  const watch = watches.get(key) ?? watchLane(observations, { zone, asOf })
  watches.delete(key)
  watches.set(key, watch)
  if (watches.size > MOST_WATCHES) watches.delete(watches.keys().next().value as string)
  return watch
}

/** How many makers other than the lane's own have sent by its service. */
function otherMakers(lane: Lane, record: LaneRecord, register: Register): number {
  const own = makerOf(register.plants.get(lane.plant))
  const makers = makersBy(record, register).get(lane.service) ?? new Set()
  return makers.size - (makers.has(own) ? 1 : 0)
}

const makers = new WeakMap<LaneRecord, Map<string | null, Set<string>>>()

/** The makers that have sent by each service. */
function makersBy(record: LaneRecord, register: Register): Map<string | null, Set<string>> {
  const before = makers.get(record)
  if (before) return before
  const byService = new Map<string | null, Set<string>>()
  for (const { plant, service } of lanesOf(record).values()) {
    const maker = makerOf(register.plants.get(plant))
    const known = byService.get(service)
    if (known) known.add(maker)
    else byService.set(service, new Set([maker]))
  }
  makers.set(record, byService)
  return byService
}

/** A lane as a page names it. The service is null where no report and no kit names one. */
export interface NamedLane {
  plant: { code: string; name: string; zone: string }
  laboratory: { code: string; name: string; zone: string }
  service: { code: string; name: string } | null
}

/** A lane by the names that the register has for its ends. */
export function namedLane({ plant, laboratory, service }: Way, register: Register): NamedLane {
  const [from, to] = [register.plants.get(plant), register.laboratories.get(laboratory)]
  return {
    plant: { code: plant, name: from?.name ?? plant, zone: from?.zone ?? 'UTC' },
    laboratory: { code: laboratory, name: to?.name ?? laboratory, zone: to?.zone ?? 'UTC' },
    service:
      service === null ? null : { code: service, name: register.services.get(service)?.name ?? service },
  }
}

/** How long shipments of the whole programme take. */
export interface PooledTransit {
  counts: ReturnType<typeof shipmentCounts>
  curve: TransitCurve
}

/** Transit over all lanes at `now` (ms UTC); null where fewer than three makers stand behind it. */
export async function pooledTransit(pool: pg.Pool, now: number): Promise<PooledTransit | null> {
  const record = await laneRecord(pool, now)
  return asReader(pool, 'all', now, async ({ register }) => {
    const makers = new Set<string>()
    for (const { plant, observations } of lanesOf(record).values())
      if (observations.some(({ hasArrived }) => hasArrived)) makers.add(makerOf(register.plants.get(plant)))
    if (makers.size < FEWEST_MAKERS) return null
    const { observations, fit } = record.of(TRANSIT)
    return { counts: shipmentCounts(observations), curve: transitCurveOf(fit, [], observations) }
  })
}
